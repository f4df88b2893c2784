#include "core/oenology/forecast_fit.h"

#include <algorithm>
#include <cmath>

#include "core/oenology/least_squares.h"

namespace rundlet::oenology {
namespace {

// What is usual, and counts like one more reading with that error. It says little once the readings
// do, and keeps a fit of three readings from running away.
constexpr double kUsualFinal = 0.994;
constexpr double kUsualFinalError = 0.002;
constexpr double kOriginalError = 0.002;
constexpr double kUsualRate = 0.6;       // per day
constexpr double kUsualRateError = 1.0;  // of its logarithm

using Readings = std::vector<GravityReading>;

// Parameters of both models: start, final gravity, logarithm of the rate; and the logistic's
// middle.
constexpr size_t kStart = 0;
constexpr size_t kFinal = 1;
constexpr size_t kLogRate = 2;
constexpr size_t kMiddle = 3;

template <size_t kCount>
void AddWhatIsUsual(const Parameters<kCount>& at, double first, NormalEquations<kCount>* sum) {
  const auto add = [&](size_t which, double usual, double error) {
    Parameters<kCount> gradient{};
    gradient[which] = 1 / error;
    sum->Add((at[which] - usual) / error, gradient);
  };
  add(kStart, first, kOriginalError);
  add(kFinal, kUsualFinal, kUsualFinalError);
  add(kLogRate, std::log(kUsualRate), kUsualRateError);
}

template <size_t kCount>
void Bound(Parameters<kCount>& at, double first, double most_final) {
  at[kStart] = std::clamp(at[kStart], first - 0.01, first + 0.03);
  at[kFinal] = std::clamp(at[kFinal], kLeastFinal, most_final);
  at[kLogRate] = std::clamp(at[kLogRate], std::log(0.005), std::log(10.0));
}

NormalEquations<4> LogisticEquations(const Readings& readings, const Parameters<4>& at) {
  NormalEquations<4> sum;
  const double rate = std::exp(at[kLogRate]);
  const double drop = at[kStart] - at[kFinal];
  for (const GravityReading& r : readings) {
    const double z = rate * (r.day - at[kMiddle]);
    const double left = 1 / (1 + std::exp(std::clamp(z, -500.0, 500.0)));
    const double bend = drop * left * (1 - left);
    Parameters<4> gradient = {left, 1 - left, -bend * z, bend * rate};
    for (double& g : gradient) g /= kReadingError;
    sum.Add((at[kFinal] + drop * left - r.gravity) / kReadingError, gradient);
  }
  AddWhatIsUsual(at, readings.front().gravity, &sum);
  return sum;
}

NormalEquations<3> TailEquations(const Readings& readings, const Parameters<3>& at) {
  NormalEquations<3> sum;
  const double rate = std::exp(at[kLogRate]);
  const double drop = at[kStart] - at[kFinal];
  for (const GravityReading& r : readings) {
    const double z = rate * (r.day - readings.front().day);
    const double left = std::exp(-z);
    Parameters<3> gradient = {left, 1 - left, -drop * left * z};
    for (double& g : gradient) g /= kReadingError;
    sum.Add((at[kFinal] + drop * left - r.gravity) / kReadingError, gradient);
  }
  AddWhatIsUsual(at, readings.front().gravity, &sum);
  return sum;
}

// The logistic's valley bends, so it is walked from several places and the lowest end is taken.
LeastSquares<4> FitLogistic(const Readings& readings, double most_final) {
  const double first_day = readings.front().day;
  const double days = readings.back().day - first_day;
  const double first = readings.front().gravity;
  LeastSquares<4> best;
  for (const double rate : {0.3, 0.7, 1.5}) {
    for (const double share : {0.2, 0.6, 1.0, 1.6}) {
      const Parameters<4> start = {first, kUsualFinal, std::log(rate), first_day + share * days};
      LeastSquares<4> fit = FitLeastSquares<4>(
          start, [&](const Parameters<4>& at) { return LogisticEquations(readings, at); },
          [&](Parameters<4>& at) {
            Bound(at, first, most_final);
            at[kMiddle] = std::clamp(at[kMiddle], first_day - 60, first_day + days + 60);
          });
      if (fit.settled && fit.cost < best.cost) best = fit;
    }
  }
  return best;
}

LeastSquares<3> FitTail(const Readings& readings, double most_final) {
  const double first = readings.front().gravity;
  LeastSquares<3> best;
  for (const double rate : {0.05, 0.3, 1.0}) {
    LeastSquares<3> fit = FitLeastSquares<3>(
        {first, kUsualFinal, std::log(rate)},
        [&](const Parameters<3>& at) { return TailEquations(readings, at); },
        [&](Parameters<3>& at) { Bound(at, first, most_final); });
    if (fit.settled && fit.cost < best.cost) best = fit;
  }
  return best;
}

// What the days of a course must agree with: the last reading, which stands above the target.
struct Goal {
  double target = 0;
  GravityReading last;
};

// The day of the target by a course, but not before the wine can have come from the last reading
// down to it: so long as the same course takes for that way. The reading may be high by its own
// error, so the way begins that much lower, at the half of it at most.
template <typename DayOfGravity>
std::optional<double> DayAfter(const Goal& goal, const DayOfGravity& day_of) {
  const std::optional<double> day = day_of(goal.target);
  if (!day.has_value()) return std::nullopt;
  const double above = goal.last.gravity - goal.target;
  const double from = goal.target + std::max(above / 2, above - kReadingError);
  const std::optional<double> from_day = day_of(from);
  if (!from_day.has_value()) return std::nullopt;  // it began below the last reading
  return std::max(*day, goal.last.day + std::max(*day - *from_day, kLeastAheadDays));
}

// What one error of reading, at the target, is in days.
template <typename DayOfGravity>
double DaysOfReadingError(const Goal& goal, const DayOfGravity& day_of) {
  const std::optional<double> at = day_of(goal.target);
  const std::optional<double> above = day_of(goal.target + kReadingError);
  return at.has_value() && above.has_value() ? *at - *above : kLeastAheadDays;
}

// The range: each independent direction of the fit's error is followed two standard errors both
// ways, and what they do to the day is added in quadrature, later and earlier apart. A direction
// that leads to a wine that never gets there leaves no latest day. `day_of` gives the day of a
// gravity by parameters.
template <size_t kCount, typename DayOf>
void SetDays(const LeastSquares<kCount>& fit, double scale, const Goal& goal, const DayOf& day_of,
             Forecast* forecast) {
  const auto day_by = [&](const Parameters<kCount>& at) {
    return DayAfter(goal, [&](double gravity) { return day_of(at, gravity); });
  };
  forecast->day = day_by(fit.at);
  if (!forecast->day.has_value()) return;
  const double reading_days =
      2 * DaysOfReadingError(goal, [&](double gravity) { return day_of(fit.at, gravity); });
  double earlier = reading_days * reading_days;
  double later = reading_days * reading_days;
  bool always = true;
  for (size_t column = 0; column < kCount; ++column) {
    double least = 0;
    double most = 0;
    for (const double sign : {-2.0, 2.0}) {
      Parameters<kCount> at = fit.at;
      for (size_t i = 0; i < kCount; ++i) at[i] += sign * scale * fit.spread[i][column];
      const std::optional<double> day = day_by(at);
      if (!day.has_value()) {
        always = false;
        continue;
      }
      least = std::min(least, *day - *forecast->day);
      most = std::max(most, *day - *forecast->day);
    }
    earlier += least * least;
    later += most * most;
  }
  const double ahead = *forecast->day - goal.last.day;
  forecast->error_days = std::max({std::sqrt(earlier), std::sqrt(later), kLeastAheadDays});
  if (ahead - std::sqrt(earlier) >= kLeastAheadDays) {
    forecast->earliest = *forecast->day - std::sqrt(earlier);
  }
  if (always) {
    forecast->latest = *forecast->day + std::max(std::sqrt(later), kLeastAheadDays);
  } else {
    // Nobody knows how late: the half of the way at the least.
    forecast->error_days = std::max(forecast->error_days, ahead / 2);
  }
}

template <size_t kCount>
void SetModel(const LeastSquares<kCount>& fit, ForecastModel model, Forecast* forecast) {
  forecast->model = model;
  forecast->original = fit.at[kStart];
  forecast->final = fit.at[kFinal];
  forecast->rate_per_day = std::exp(fit.at[kLogRate]);
}

double GravityOn(const Forecast& f, double day) {
  if (f.model == ForecastModel::kLogistic) {
    return LogisticGravity(f.original, f.final, f.rate_per_day, f.middle_day, day);
  }
  return f.final + (f.original - f.final) * std::exp(-f.rate_per_day * (day - f.middle_day));
}

double Residual(const Readings& readings, const Forecast& f) {
  double sum = 0;
  for (const GravityReading& r : readings) {
    const double miss = GravityOn(f, r.day) - r.gravity;
    sum += miss * miss;
  }
  return std::sqrt(sum / static_cast<double>(readings.size()));
}

// A model laid through readings.
struct Course {
  Forecast forecast;
  double cost = 0;

  double Scale() const { return std::max(1.0, forecast.residual / kReadingError); }
};

std::optional<Course> LayLogistic(const Readings& readings, double target, double most_final) {
  const LeastSquares<4> fit = FitLogistic(readings, most_final);
  if (!fit.settled) return std::nullopt;
  Course course{.cost = fit.cost};
  SetModel(fit, ForecastModel::kLogistic, &course.forecast);
  course.forecast.middle_day = fit.at[kMiddle];
  course.forecast.residual = Residual(readings, course.forecast);
  SetDays(
      fit, course.Scale(), Goal{target, readings.back()},
      [](const Parameters<4>& p, double gravity) {
        return LogisticDay(p[kStart], p[kFinal], std::exp(p[kLogRate]), p[kMiddle], gravity);
      },
      &course.forecast);
  return course;
}

std::optional<Course> LayTail(const Readings& readings, double target, double most_final) {
  const LeastSquares<3> fit = FitTail(readings, most_final);
  if (!fit.settled) return std::nullopt;
  const double first_day = readings.front().day;
  Course course{.cost = fit.cost};
  SetModel(fit, ForecastModel::kTail, &course.forecast);
  course.forecast.middle_day = first_day;
  course.forecast.residual = Residual(readings, course.forecast);
  SetDays(
      fit, course.Scale(), Goal{target, readings.back()},
      [&](const Parameters<3>& p, double gravity) {
        return TailDay(p[kStart], p[kFinal], std::exp(p[kLogRate]), first_day, gravity);
      },
      &course.forecast);
  return course;
}

// Real courses drag on longer than they took to start, which a logistic cannot follow. So once four
// readings stand well past the fastest day, a tail through these is taken if it fits them better.
std::optional<Readings> LateReadings(const Readings& readings, const Course& logistic) {
  const Forecast& f = logistic.forecast;
  Readings late;
  for (const GravityReading& r : readings) {
    if (r.day >= f.middle_day + 1 / f.rate_per_day) late.push_back(r);
  }
  if (late.size() < 4) return std::nullopt;
  return late;
}

// The readings to lay a model through, and which.
struct Choice {
  Readings readings;
  bool tail = false;

  std::optional<Course> Lay(double target, double most_final) const {
    return tail ? LayTail(readings, target, most_final) : LayLogistic(readings, target, most_final);
  }
};

Choice Choose(const Readings& readings, double target) {
  const std::optional<Course> logistic = LayLogistic(readings, target, kMostFinal);
  const std::optional<Course> tail = LayTail(readings, target, kMostFinal);
  // A logistic whose fastest day lies before the first reading has only its tail in the readings,
  // and its other parameters out of thin air.
  const bool whole = logistic.has_value() && logistic->forecast.middle_day > readings.front().day;
  if (!whole || (tail.has_value() && tail->cost < logistic->cost)) return {readings, true};
  const std::optional<Readings> late = LateReadings(readings, *logistic);
  if (late.has_value()) {
    const std::optional<Course> end = LayTail(*late, target, kMostFinal);
    if (end.has_value() && end->forecast.residual < Residual(*late, logistic->forecast)) {
      return {*late, true};
    }
  }
  return {readings, false};
}

}  // namespace

void FitForecast(const std::vector<GravityReading>& readings, double target, Forecast* forecast) {
  constexpr double kBelowTarget = 0.002;
  const Choice choice = Choose(readings, target);
  std::optional<Course> course = choice.Lay(target, kMostFinal);
  if (!course.has_value()) return;
  const double most_final = target - kBelowTarget;
  if (course->forecast.final > target - kBelowTarget / 4 && most_final >= kLeastFinal) {
    const std::optional<Course> below = choice.Lay(target, most_final);
    const double scale = course->Scale();
    if (below.has_value() && below->cost - course->cost < 9 * scale * scale) {
      const double ends_above = course->forecast.final;
      course = below;
      course->forecast.ends_above = ends_above;
      course->forecast.latest.reset();
    }
  }
  course->forecast.state = forecast->state;
  course->forecast.drop_per_day = forecast->drop_per_day;
  *forecast = course->forecast;
}

}  // namespace rundlet::oenology

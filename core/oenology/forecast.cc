#include "core/oenology/forecast.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/least_squares.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kLeastFinal = 0.988;
constexpr double kMostFinal = 1.000;
// What is usual, and counts like one more reading with that error. It says little once the readings
// do, and keeps a fit of three readings from running away.
constexpr double kUsualFinal = 0.994;
constexpr double kUsualFinalError = 0.002;
constexpr double kOriginalError = 0.002;
constexpr double kUsualRate = 0.6;       // per day
constexpr double kUsualRateError = 1.0;  // of its logarithm
// Hardly moving: less than this over two days or more.
constexpr double kRestDrop = 0.0015;
constexpr double kRestDays = 2;
constexpr double kStartDrop = 0.003;

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
void Bound(Parameters<kCount>& at, double first) {
  at[kStart] = std::clamp(at[kStart], first - 0.01, first + 0.03);
  at[kFinal] = std::clamp(at[kFinal], kLeastFinal, kMostFinal);
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
LeastSquares<4> FitLogistic(const Readings& readings) {
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
            Bound(at, first);
            at[kMiddle] = std::clamp(at[kMiddle], first_day - 60, first_day + days + 60);
          });
      if (fit.settled && fit.cost < best.cost) best = fit;
    }
  }
  return best;
}

LeastSquares<3> FitTail(const Readings& readings) {
  const double first = readings.front().gravity;
  LeastSquares<3> best;
  for (const double rate : {0.05, 0.3, 1.0}) {
    LeastSquares<3> fit = FitLeastSquares<3>(
        {first, kUsualFinal, std::log(rate)},
        [&](const Parameters<3>& at) { return TailEquations(readings, at); },
        [&](Parameters<3>& at) { Bound(at, first); });
    if (fit.settled && fit.cost < best.cost) best = fit;
  }
  return best;
}

// The range: each independent direction of the fit's error is followed two standard errors both
// ways, and what they do to the day is added in quadrature, later and earlier apart. A direction
// that leads to a wine that never gets there leaves no latest day.
template <size_t kCount, typename DayOf>
void SetDays(const LeastSquares<kCount>& fit, double scale, double last_day, const DayOf& day_of,
             Forecast* forecast) {
  forecast->day = day_of(fit.at);
  if (!forecast->day.has_value()) return;
  double earlier = 0;
  double later = 0;
  bool always = true;
  for (size_t column = 0; column < kCount; ++column) {
    double least = 0;
    double most = 0;
    for (const double sign : {-2.0, 2.0}) {
      Parameters<kCount> at = fit.at;
      for (size_t i = 0; i < kCount; ++i) at[i] += sign * scale * fit.spread[i][column];
      const std::optional<double> day = day_of(at);
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
  // It was not there at the last reading, so it cannot have been there before.
  forecast->day = std::max(*forecast->day, last_day);
  forecast->earliest = std::max(*forecast->day - std::sqrt(earlier), last_day);
  if (always) forecast->latest = *forecast->day + std::sqrt(later);
}

template <size_t kCount>
void SetModel(const LeastSquares<kCount>& fit, double residual, Forecast* forecast) {
  forecast->original = fit.at[kStart];
  forecast->final = fit.at[kFinal];
  forecast->rate_per_day = std::exp(fit.at[kLogRate]);
  forecast->residual = residual;
}

double Residual(const Readings& readings, const auto& gravity_on) {
  double sum = 0;
  for (const GravityReading& r : readings) {
    const double miss = gravity_on(r.day) - r.gravity;
    sum += miss * miss;
  }
  return std::sqrt(sum / static_cast<double>(readings.size()));
}

void FitModels(const Readings& readings, double target, Forecast* forecast) {
  const LeastSquares<4> logistic = FitLogistic(readings);
  const LeastSquares<3> tail = FitTail(readings);
  const double first_day = readings.front().day;
  const double last_day = readings.back().day;
  // A logistic whose fastest day lies before the first reading has only its tail in the readings,
  // and its other parameters out of thin air.
  const bool whole = logistic.settled && logistic.at[kMiddle] > first_day;
  if (whole && logistic.cost <= tail.cost) {
    const auto& at = logistic.at;
    forecast->model = ForecastModel::kLogistic;
    forecast->middle_day = at[kMiddle];
    SetModel(logistic,
             Residual(readings,
                      [&](double day) {
                        return LogisticGravity(at[kStart], at[kFinal], std::exp(at[kLogRate]),
                                               at[kMiddle], day);
                      }),
             forecast);
    SetDays(
        logistic, std::max(1.0, forecast->residual / kReadingError), last_day,
        [&](const Parameters<4>& p) {
          return LogisticDay(p[kStart], p[kFinal], std::exp(p[kLogRate]), p[kMiddle], target);
        },
        forecast);
  } else if (tail.settled) {
    const auto& at = tail.at;
    forecast->model = ForecastModel::kTail;
    forecast->middle_day = first_day;
    SetModel(tail,
             Residual(readings,
                      [&](double day) {
                        return at[kFinal] +
                               (at[kStart] - at[kFinal]) *
                                   std::exp(-std::exp(at[kLogRate]) * (day - first_day));
                      }),
             forecast);
    SetDays(
        tail, std::max(1.0, forecast->residual / kReadingError), last_day,
        [&](const Parameters<3>& p) {
          return TailDay(p[kStart], p[kFinal], std::exp(p[kLogRate]), first_day, target);
        },
        forecast);
  }
}

// Where the readings of the last two days (or the last two readings, if further apart) begin.
size_t RecentFrom(const Readings& readings) {
  size_t from = readings.size() - 1;
  while (from > 0 && readings.back().day - readings[from].day < kRestDays) --from;
  return from;
}

// SG per day over the recent readings, by a line through them.
double RecentDrop(const Readings& readings, size_t from) {
  double day = 0;
  double gravity = 0;
  const double count = static_cast<double>(readings.size() - from);
  for (size_t i = from; i < readings.size(); ++i) {
    day += readings[i].day / count;
    gravity += readings[i].gravity / count;
  }
  double across = 0;
  double square = 0;
  for (size_t i = from; i < readings.size(); ++i) {
    across += (readings[i].day - day) * (readings[i].gravity - gravity);
    square += (readings[i].day - day) * (readings[i].day - day);
  }
  return square > 0 ? -across / square : 0;
}

FermentationState StateOf(const Readings& readings, double target, double drop_per_day) {
  const GravityReading& last = readings.back();
  if (last.gravity <= target) return FermentationState::kReached;
  double most = 0;
  for (const GravityReading& r : readings) most = std::max(most, r.gravity);
  if (most - last.gravity < kStartDrop) {
    return last.gravity > kMostFinal ? FermentationState::kNotStarted : FermentationState::kAtRest;
  }
  const double recent_days = last.day - readings[RecentFrom(readings)].day;
  if (recent_days >= kRestDays && drop_per_day * recent_days < kRestDrop) {
    return last.gravity > kMostFinal ? FermentationState::kStuck : FermentationState::kAtRest;
  }
  return FermentationState::kFermenting;
}

absl::Status CheckValues(absl::Span<const GravityReading> readings, double target) {
  for (const GravityReading& r : readings) {
    if (absl::Status s = FirstError({CheckRange("SG", r.gravity, 0.965, 1.2, ""),
                                     CheckRange("day", r.day, -1e6, 1e6, "d")});
        !s.ok()) {
      return s;
    }
  }
  return CheckRange("target SG", target, kLeastFinal, 1.1, "");
}

// Sorted readings: are there enough, far enough apart?
absl::Status CheckEnough(const Readings& readings) {
  size_t times = readings.empty() ? 0 : 1;
  for (size_t i = 1; i < readings.size(); ++i) times += readings[i].day > readings[i - 1].day;
  if (times < 3) {
    return absl::FailedPreconditionError(
        absl::StrCat("a forecast needs at least three readings at different times, and there ",
                     times == 1 ? "is " : "are ", times, ": take another reading"));
  }
  if (readings.back().day - readings.front().day < 0.5) {
    return absl::FailedPreconditionError(
        "a forecast needs readings over at least half a day: take another one tomorrow");
  }
  return absl::OkStatus();
}

}  // namespace

constexpr Equation kLogisticForecast = {
    "forecast-logistic",
    "Course of a fermentation",
    "SG(t) = F + (O - F) / (1 + exp(k (t - m))); day of T: m + ln((O - T)/(T - F)) / k; O, F, k, m "
    "by "
    "damped least squares",
    "three readings or more; F 0.988 to 1.000",
    "shown with each forecast: two standard errors of the fit",
    "our own choice of model; usual values that steady the fit (F 0.994, k 0.6 per day) are common "
    "practice",
    Standing::kDerived};

constexpr Equation kTailForecast = {
    "forecast-tail",
    "Course of a fermentation past its fastest day",
    "SG(t) = F + (S - F) exp(-k (t - t0)); day of T: t0 + ln((S - F)/(T - F)) / k",
    "three readings or more, all past the fastest day; F 0.988 to 1.000",
    "shown with each forecast: two standard errors of the fit",
    "our own choice of model",
    Standing::kDerived};

double LogisticGravity(double original, double final, double rate_per_day, double middle_day,
                       double day) {
  const double z = std::clamp(rate_per_day * (day - middle_day), -500.0, 500.0);
  return final + (original - final) / (1 + std::exp(z));
}

std::optional<double> LogisticDay(double original, double final, double rate_per_day,
                                  double middle_day, double target) {
  if (!(final < target && target < original && rate_per_day > 0)) return std::nullopt;
  return middle_day + std::log((original - target) / (target - final)) / rate_per_day;
}

std::optional<double> TailDay(double first_gravity, double final, double rate_per_day,
                              double first_day, double target) {
  if (!(final < target && target <= first_gravity && rate_per_day > 0)) return std::nullopt;
  return first_day + std::log((first_gravity - final) / (target - final)) / rate_per_day;
}

absl::StatusOr<Forecast> ForecastGravity(absl::Span<const GravityReading> readings, double target) {
  if (absl::Status s = CheckValues(readings, target); !s.ok()) return s;
  Readings sorted(readings.begin(), readings.end());
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const GravityReading& a, const GravityReading& b) { return a.day < b.day; });
  if (absl::Status s = CheckEnough(sorted); !s.ok()) return s;
  Forecast forecast;
  forecast.drop_per_day = RecentDrop(sorted, RecentFrom(sorted));
  forecast.state = StateOf(sorted, target, forecast.drop_per_day);
  if (forecast.state == FermentationState::kFermenting) FitModels(sorted, target, &forecast);
  return forecast;
}

}  // namespace rundlet::oenology

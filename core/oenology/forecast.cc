#include "core/oenology/forecast.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/forecast_fit.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

// Hardly moving: less than this over two days or more.
constexpr double kRestDrop = 0.0015;
constexpr double kRestDays = 2;
constexpr double kStartDrop = 0.003;

using Readings = std::vector<GravityReading>;

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

// The greatest rise from a reading to a later one; false if it is within the error of readings.
bool Rises(const Readings& readings, Forecast* forecast) {
  double least = readings.front().gravity;
  double most_rise = kMostRise;
  bool rises = false;
  for (const GravityReading& r : readings) {
    if (r.gravity - least > most_rise) {
      most_rise = r.gravity - least;
      forecast->rise_from = least;
      forecast->rise_to = r.gravity;
      rises = true;
    }
    least = std::min(least, r.gravity);
  }
  return rises;
}

void SetReached(const Readings& readings, double target, Forecast* forecast) {
  size_t first = readings.size() - 1;
  while (first > 0 && readings[first - 1].gravity <= target) --first;
  forecast->reached_day = readings[first].day;
  forecast->reached_gravity = readings[first].gravity;
  if (first > 0) forecast->above_day = readings[first - 1].day;
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
    "three readings or more, all past the fastest day, or the last four if they are well past it; "
    "F "
    "0.988 to 1.000",
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
  if (forecast.state == FermentationState::kReached) {
    SetReached(sorted, target, &forecast);
  } else if (Rises(sorted, &forecast)) {
    forecast.state = FermentationState::kRising;
  }
  if (forecast.state == FermentationState::kFermenting) FitForecast(sorted, target, &forecast);
  return forecast;
}

}  // namespace rundlet::oenology

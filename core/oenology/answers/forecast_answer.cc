#include <algorithm>
#include <limits>

#include "absl/strings/str_cat.h"
#include "core/oenology/answers/fermentation_answer.h"

namespace rundlet::oenology {
namespace {

constexpr double kTooHotC = 32;

void SayHeat(absl::Span<const GravityReading> readings, Answer* answer) {
  double last_day = -std::numeric_limits<double>::infinity();
  double last_c = 0;
  for (const GravityReading& r : readings) {
    if (r.temperature_c.has_value() && r.day >= last_day) {
      last_day = r.day;
      last_c = *r.temperature_c;
    }
  }
  if (last_c >= kTooHotC) {
    answer->Warn(absl::StrCat(
        "too hot: ", Print(last_c, 1), " C at the last measurement. Above about ",
        Print(kTooHotC, 0), " C yeast suffers and may stop: cool it (common practice, no source)"));
  }
}

void SayState(const Forecast& f, double last, double target, Answer* answer) {
  switch (f.state) {
    case FermentationState::kReached:
      answer->Step(absl::StrCat("the last reading, ", Print(last, 4), ", is at the target of ",
                                Print(target, 4), " already"));
      break;
    case FermentationState::kNotStarted:
      answer->Warn(
          "it has not begun to fall, so there is nothing to forecast from: check warmth and yeast");
      break;
    case FermentationState::kStuck:
      answer->Warn(absl::StrCat("stuck: at ", Print(last, 4),
                                " it has hardly moved for two days, "
                                "and there is sugar left. No forecast: it may not get there"));
      answer->Mind(Caution::kPressure);
      break;
    case FermentationState::kAtRest:
      answer->Warn(absl::StrCat("at rest: at ", Print(last, 4),
                                " it has hardly moved for two days. "
                                "It may be dry; measure the sugar to be sure"));
      answer->Mind(Caution::kPressure);
      break;
    case FermentationState::kFermenting:
      break;
  }
}

void AddDays(const Forecast& f, double last_day, double target, Answer* answer) {
  if (!f.day.has_value()) {
    answer->Warn(absl::StrCat("by the readings it comes to rest at ", Print(f.final, 4),
                              ", above the target of ", Print(target, 4), ": no day can be told"));
    return;
  }
  const double before = *f.day - f.earliest.value_or(*f.day);
  const double after = f.latest.has_value() ? *f.latest - *f.day : 0;
  answer->Add("days from the last reading until the target", *f.day - last_day, 1, "d",
              std::max(before, after));
  answer->Add("at the earliest", f.earliest.value_or(*f.day) - last_day, 1, "d");
  if (f.ends_above.has_value()) {
    answer->Warn(absl::StrCat("by the readings alone it would come to rest at ",
                              Print(*f.ends_above, 4), "; the day holds if it goes on to ",
                              Print(f.final, 4)));
  } else if (f.latest.has_value()) {
    answer->Add("at the latest", *f.latest - last_day, 1, "d");
  } else {
    answer->Warn("it may also come to rest above the target: there is no latest day");
  }
}

}  // namespace

absl::StatusOr<Answer> AnswerForecast(absl::Span<const GravityReading> readings, double target) {
  const absl::StatusOr<Forecast> forecast = ForecastGravity(readings, target);
  if (!forecast.ok()) return forecast.status();
  const GravityReading& last = *std::max_element(
      readings.begin(), readings.end(),
      [](const GravityReading& a, const GravityReading& b) { return a.day < b.day; });
  Answer answer;
  SayState(*forecast, last.gravity, target, &answer);
  if (forecast->state == FermentationState::kFermenting) {
    if (forecast->model.has_value()) {
      AddDays(*forecast, last.day, target, &answer);
      const bool whole = *forecast->model == ForecastModel::kLogistic;
      answer.Step(absl::StrCat(
          whole ? "logistic" : "exponential tail", " from ", Print(forecast->original, 4), " to ",
          Print(forecast->final, 4), ", rate ", Print(forecast->rate_per_day, 2),
          " per day; it misses the readings by ", Print(forecast->residual, 4)));
      answer.Rest(whole ? kLogisticForecast : kTailForecast);
      answer.Assume(
          "warmth and yeast stay as they are; the readings are corrected for temperature");
      answer.Assume("the range is two standard errors of the fit, not a promise");
    } else {
      answer.Warn("no curve fits these readings: take another one");
    }
  }
  answer.Add("drop a day, now", forecast->drop_per_day, 4, "SG/d");
  SayHeat(readings, &answer);
  if (forecast->state == FermentationState::kFermenting) answer.Mind(Caution::kCarbonDioxide);
  return answer;
}

}  // namespace rundlet::oenology

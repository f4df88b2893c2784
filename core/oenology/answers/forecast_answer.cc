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

void SayReached(const Forecast& f, const GravityReading& first, double last, double target,
                Answer* answer) {
  answer->Add(absl::StrCat("reached: the last reading is ", last < target ? "below" : "at",
                           " the target of ", Print(target, 4)),
              last, 4, "SG", kReadingError);
  answer->Step(absl::StrCat("the last reading, ", Print(last, 4), ", is at the target of ",
                            Print(target, 4), " already"));
  if (!f.reached_day.has_value()) return;
  if (!f.above_day.has_value()) {
    answer->Step("so was every reading: when it came there cannot be told");
    return;
  }
  // Some time between two readings.
  const double between = (*f.reached_day - *f.above_day) / 2;
  answer->Add(absl::StrCat("by the reading of ", Print(f.reached_gravity, 4),
                           ": days after the first reading"),
              *f.above_day + between - first.day, 1, "d", std::max(between, kLeastAheadDays));
  answer->Step(absl::StrCat("the reading of ", Print(f.reached_gravity, 4), ", ",
                            Print(*f.reached_day - first.day, 1),
                            " days after the first, was the first at the target, and the one "
                            "before it, after ",
                            Print(*f.above_day - first.day, 1), " days, was not"));
}

void SayState(const Forecast& f, const GravityReading& first, double last, double target,
              Answer* answer) {
  switch (f.state) {
    case FermentationState::kReached:
      SayReached(f, first, last, target, answer);
      break;
    case FermentationState::kRising:
      answer->Add("rise from one reading to a later one", f.rise_to - f.rise_from, 4, "SG");
      answer->Warn(absl::StrCat("the readings rise, from ", Print(f.rise_from, 4), " to ",
                                Print(f.rise_to, 4),
                                ": mixed up, by another instrument, or was sugar added? No "
                                "forecast: a wine that ferments "
                                "only falls, so set right what is wrong"));
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
    if (f.final < target) {
      answer->Warn("no course agrees with all of these readings: no day can be told");
      return;
    }
    answer->Warn(absl::StrCat("by the readings it comes to rest at ", Print(f.final, 4),
                              ", above the target of ", Print(target, 4), ": no day can be told"));
    return;
  }
  answer->Add("days from the last reading until the target", *f.day - last_day, 1, "d",
              f.error_days);
  if (f.earliest.has_value()) {
    answer->Add("at the earliest", *f.earliest - last_day, 1, "d");
  } else {
    answer->Warn("within its error it may be there within hours: read it again before you act");
  }
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
  return AnswerForecast(readings, target, *forecast);
}

Answer AnswerForecast(absl::Span<const GravityReading> readings, double target,
                      const Forecast& forecast) {
  const auto sooner = [](const GravityReading& a, const GravityReading& b) {
    return a.day < b.day;
  };
  const GravityReading& first = *std::min_element(readings.begin(), readings.end(), sooner);
  // Of several on one day the one that came last, as the forecast takes them.
  const GravityReading& last = *std::min_element(
      readings.rbegin(), readings.rend(),
      [](const GravityReading& a, const GravityReading& b) { return a.day > b.day; });
  Answer answer;
  SayState(forecast, first, last.gravity, target, &answer);
  if (forecast.state == FermentationState::kFermenting) {
    if (forecast.model.has_value()) {
      AddDays(forecast, last.day, target, &answer);
      const bool whole = *forecast.model == ForecastModel::kLogistic;
      answer.Step(absl::StrCat(
          whole ? "logistic" : "exponential tail", " from ", Print(forecast.original, 4), " to ",
          Print(forecast.final, 4), ", rate ", Print(forecast.rate_per_day, 2),
          " per day; it misses the readings by ", Print(forecast.residual, 4)));
      answer.Rest(whole ? kLogisticForecast : kTailForecast);
      answer.Assume(
          "warmth and yeast stay as they are; the readings are corrected for temperature");
      answer.Assume("the range is two standard errors of the fit, not a promise");
    } else {
      answer.Warn("no curve fits these readings: take another one");
    }
  }
  if (forecast.state != FermentationState::kReached &&
      forecast.state != FermentationState::kRising) {
    answer.Add("drop a day, now", forecast.drop_per_day, 4, "SG/d");
  }
  SayHeat(readings, &answer);
  if (forecast.state == FermentationState::kFermenting) answer.Mind(Caution::kCarbonDioxide);
  return answer;
}

}  // namespace rundlet::oenology

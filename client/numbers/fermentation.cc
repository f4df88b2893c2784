#include "client/numbers/fermentation.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/cli/table.h"
#include "client/numbers/inputs.h"
#include "core/oenology/answers/fermentation_answer.h"
#include "core/oenology/hydrometer.h"
#include "core/quantity/reading.h"
#include "core/view/wine_story.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

constexpr double kDayUs = 24.0 * 3600 * 1e6;
constexpr double kHydrometerC = 20;  // for want of what is marked on it
constexpr size_t kShown = 12;
// Below this much between the highest and the lowest nothing has fallen yet.
constexpr double kWorthShowing = 0.004;
constexpr double kUnfermented = 1.010;

// The temperature read in the same entry.
std::optional<double> TemperatureWith(const std::vector<KnownReading>& temperatures, RowId row) {
  for (const KnownReading& reading : temperatures) {
    if (reading.row != row) continue;
    const auto value = ReadInput(InputKind::kTemperature,
                                 FormatReading(reading.value_micro, FromWire(reading.unit)));
    if (value.ok()) return *value;
  }
  return std::nullopt;
}

}  // namespace

std::vector<DensityStep> FermentationIn(const Fold& fold, Handle vessel) {
  std::vector<DensityStep> steps;
  const std::vector<KnownReading> densities = ReadingsOf(fold, vessel, v1::READING_KIND_DENSITY);
  if (densities.empty()) return steps;
  const std::vector<KnownReading> temperatures =
      ReadingsOf(fold, vessel, v1::READING_KIND_TEMPERATURE);
  const size_t since = SameWineSince(fold, vessel);
  for (const KnownReading& reading : densities) {
    if (fold.sequence().PositionOf(reading.row) < since) continue;
    const Row& row = fold.sequence().row(reading.row);
    DensityStep step{.when = {.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min},
                     .as_read = FormatReading(reading.value_micro, FromWire(reading.unit)),
                     .temperature_c = TemperatureWith(temperatures, reading.row)};
    const auto gravity = ReadInput(InputKind::kGravity, step.as_read);
    if (!gravity.ok()) continue;  // of no scale that reaches there
    step.gravity = *gravity;
    if (reading.unit == v1::READING_UNIT_SPECIFIC_GRAVITY && step.temperature_c.has_value()) {
      const auto corrected = oenology::CorrectAsSucrose({.gravity = *gravity,
                                                         .temperature_c = *step.temperature_c,
                                                         .calibration_c = kHydrometerC});
      if (corrected.ok()) step.gravity = *corrected;
    }
    steps.push_back(std::move(step));
  }
  return steps;
}

bool IsFermentation(const std::vector<DensityStep>& steps) {
  if (steps.size() < 2) return false;
  const auto [low, high] =
      std::minmax_element(steps.begin(), steps.end(),
                          [](const auto& a, const auto& b) { return a.gravity < b.gravity; });
  return high->gravity - low->gravity >= kWorthShowing || steps.back().gravity > kUnfermented;
}

std::string PrintFermentation(const std::vector<DensityStep>& steps, size_t width) {
  Table table({"Fermentation", ">As read", ">At 20 C", ">Temperature", ">Fall a day"});
  for (size_t i = steps.size() > kShown ? steps.size() - kShown : 0; i < steps.size(); ++i) {
    const DensityStep& step = steps[i];
    std::string fall;
    if (i > 0) {
      const double days = static_cast<double>(step.when.at_us - steps[i - 1].when.at_us) / kDayUs;
      if (days > 0) fall = oenology::Print((steps[i - 1].gravity - step.gravity) / days, 4);
    }
    table.Add(
        {FormatWhen(step.when), step.as_read, oenology::Print(step.gravity, 4),
         step.temperature_c ? absl::StrCat(oenology::Print(*step.temperature_c, 1), " C") : "",
         fall});
  }
  return table.Print(width);
}

absl::StatusOr<DensityForecast> ForecastOf(const std::vector<DensityStep>& steps, double target,
                                           const When& now) {
  std::vector<oenology::GravityReading> readings;
  for (const DensityStep& step : steps) {
    readings.push_back({.day = static_cast<double>(step.when.at_us - steps[0].when.at_us) / kDayUs,
                        .gravity = step.gravity,
                        .temperature_c = step.temperature_c});
  }
  const auto forecast = oenology::ForecastGravity(readings, target);
  if (!forecast.ok()) return forecast.status();
  DensityForecast result{.answer = oenology::AnswerForecast(readings, target, *forecast),
                         .day = std::nullopt};
  const double since = static_cast<double>(now.at_us - steps.back().when.at_us) / kDayUs;
  if (since > 2) {
    result.answer.Warn(absl::StrCat("the last reading is ", oenology::Print(since, 0),
                                    " days old: measure again"));
  }
  result.answer.Assume(
      "hydrometer made for 20 C; corrected where the temperature was read with it");
  if (forecast->day.has_value()) {
    result.day = When{.at_us = steps[0].when.at_us + static_cast<int64_t>(*forecast->day * kDayUs),
                      .utc_offset_min = now.utc_offset_min};
  }
  return result;
}

}  // namespace rundlet::client

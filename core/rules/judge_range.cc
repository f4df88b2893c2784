// Figures of a wine that lie outside a range.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "core/oenology/sulfite.h"
#include "core/quantity/reading.h"
#include "core/rules/judge.h"

namespace rundlet::rules {
namespace {

constexpr double kMicro = 1e-6;
constexpr double kCellarCelsius = 20;    // where nobody has said
constexpr double kUsualAlcoholPct = 12;  // where nobody has measured
constexpr int64_t kFermentingGravityMicro = 1'005'000;

struct Figure {
  int64_t micro = 0;
  RowId entry = kNone;
  std::string text;
  std::string unit;
};

// The latest free SO2, unless sulfite came after it or the wine was still fermenting.
const WineEvent* FreeSo2(const Case& c) {
  const WineEvent* free = c.LastReading(rundlet::v1::READING_KIND_FREE_SO2);
  if (free == nullptr) return nullptr;
  v1::Happening sulfite;
  sulfite.add_groups("sulfite");
  const WineEvent* added = c.Last(sulfite);
  if (added != nullptr && added->position > free->position) return nullptr;
  const WineEvent* density = c.LastReading(rundlet::v1::READING_KIND_DENSITY);
  if (density != nullptr && ValueOf(*density).value_or(0) > kFermentingGravityMicro) return nullptr;
  return free;
}

std::optional<Figure> MolecularSo2Of(const Case& c) {
  const WineEvent* free = FreeSo2(c);
  const WineEvent* ph = c.LastReading(rundlet::v1::READING_KIND_PH);
  if (free == nullptr || ph == nullptr) return std::nullopt;
  const WineEvent* alcohol = c.LastReading(rundlet::v1::READING_KIND_ALCOHOL);
  const auto band = oenology::PkBandOfSo2(
      kCellarCelsius,
      alcohol == nullptr ? kUsualAlcoholPct : static_cast<double>(alcohol->value) * kMicro);
  if (!band.ok()) return std::nullopt;
  const auto molecular =
      oenology::MolecularSo2(static_cast<double>(free->value) * kMicro,
                             static_cast<double>(ph->value) * kMicro, band->wine);
  if (!molecular.ok()) return std::nullopt;
  return Figure{.micro = static_cast<int64_t>(*molecular / kMicro),
                .entry = free->position > ph->position ? free->row : ph->row,
                .text = absl::StrFormat("%.2f mg/L", *molecular),
                .unit = "mg/L"};
}

std::optional<Figure> FreeSo2Of(const Case& c) {
  const WineEvent* free = FreeSo2(c);
  if (free == nullptr) return std::nullopt;
  return Figure{.micro = free->value,
                .entry = free->row,
                .text = absl::StrFormat("%.4g mg/L", static_cast<double>(free->value) * kMicro),
                .unit = "mg/L"};
}

std::optional<Figure> FermentingTemperatureOf(const Case& c) {
  const WineEvent* reading = FermentingTemperature(c);
  if (reading == nullptr) return std::nullopt;
  const auto celsius = ValueOf(*reading);
  if (!celsius.has_value()) return std::nullopt;
  return Figure{.micro = *celsius,
                .entry = reading->row,
                .text = FormatReadingRounded(*celsius, ReadingUnit::kCelsius, 1),
                .unit = "°C"};
}

std::optional<Figure> FigureOf(const Case& c) {
  switch (c.rule().range().measure()) {
    case v1::Range::MEASURE_MOLECULAR_SO2:
      return MolecularSo2Of(c);
    case v1::Range::MEASURE_FREE_SO2:
      return FreeSo2Of(c);
    case v1::Range::MEASURE_FERMENTING_TEMPERATURE:
      return FermentingTemperatureOf(c);
    default:
      return std::nullopt;
  }
}

}  // namespace

void JudgeRange(const Case& c) {
  const v1::Range& range = c.rule().range();
  const auto figure = FigureOf(c);
  if (!figure.has_value()) return;
  const bool low = range.has_at_least_micro() && figure->micro < range.at_least_micro();
  const bool high = range.has_at_most_micro() && figure->micro > range.at_most_micro();
  if (!low && !high) return;
  if (range.measure() == v1::Range::MEASURE_FERMENTING_TEMPERATURE) {
    const YeastRange own = YeastRangeOf(c);
    if (low ? own.coldest_millic.has_value() : own.warmest_millic.has_value()) return;
  }
  const int64_t limit = low ? range.at_least_micro() : range.at_most_micro();
  c.Add(figure->entry,
        {{"amount", figure->text},
         {"limit", absl::StrFormat("%.4g %s", static_cast<double>(limit) * kMicro, figure->unit)}});
}

}  // namespace rundlet::rules

#include "core/plans/plan_gate.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/scales.h"
#include "core/plans/plan_words.h"
#include "core/quantity/reading.h"
#include "core/quantity/when.h"
#include "core/view/wire_units.h"

namespace rundlet::plans {
namespace {

constexpr int64_t kHourUs = int64_t{3600} * 1'000'000;

// The density of a reading on any of its scales, kg/m3 at 20 C.
std::optional<double> DensityOf(int64_t value_micro, v1::ReadingUnit unit) {
  using oenology::Scale;
  Scale scale = Scale::kDensity;
  double value = static_cast<double>(value_micro) / 1e6;
  switch (unit) {
    case v1::READING_UNIT_SPECIFIC_GRAVITY:
      scale = Scale::kGravity;
      break;
    case v1::READING_UNIT_KG_PER_M3:
      break;
    case v1::READING_UNIT_G_PER_ML:
      value *= 1000;
      break;
    case v1::READING_UNIT_BRIX:
      scale = Scale::kBrix;
      break;
    case v1::READING_UNIT_PLATO:
      scale = Scale::kPlato;
      break;
    case v1::READING_UNIT_BAUME:
      scale = Scale::kBaume;
      break;
    case v1::READING_UNIT_OECHSLE:
      scale = Scale::kOechsle;
      break;
    default:
      return std::nullopt;
  }
  const auto density = oenology::DensityFrom(scale, value);
  if (!density.ok()) return std::nullopt;
  return *density;
}

int64_t InCelsius(int64_t value_micro, v1::ReadingUnit unit) {
  return unit == v1::READING_UNIT_FAHRENHEIT ? CelsiusOfFahrenheit(value_micro) : value_micro;
}

// Whether a reading keeps the bound; nothing where it is on a scale that cannot be held against it.
std::optional<bool> Keeps(const v1::StepGate& gate, const WineReading& reading) {
  const bool most = gate.bound_case() == v1::StepGate::kAtMostMicro;
  const int64_t bound = most ? gate.at_most_micro() : gate.at_least_micro();
  const auto judge = [most](auto value, auto limit) {
    return most ? value <= limit : value >= limit;
  };
  if (reading.unit == gate.unit()) return judge(reading.value_micro, bound);
  if (gate.kind() == v1::READING_KIND_TEMPERATURE)
    return judge(InCelsius(reading.value_micro, reading.unit), InCelsius(bound, gate.unit()));
  if (gate.kind() != v1::READING_KIND_DENSITY) return std::nullopt;
  const auto density = DensityOf(reading.value_micro, reading.unit);
  const auto limit = DensityOf(bound, gate.unit());
  if (!density.has_value() || !limit.has_value()) return std::nullopt;
  return judge(*density, *limit);
}

std::string Said(const WineReading& reading) {
  return absl::StrCat(
      FormatReading(reading.value_micro, FromWire(reading.unit)), " on ",
      FormatWhenDay({.at_us = reading.at_us, .utc_offset_min = reading.utc_offset_min}));
}

}  // namespace

std::optional<GateBlock> BlockOf(const v1::StepGate& gate, const std::vector<WineReading>& readings,
                                 const std::set<Handle>& holding, Handle vessel) {
  std::vector<const WineReading*> known;
  for (const WineReading& reading : readings) {
    const bool of_this = reading.vessel == vessel || !holding.contains(reading.vessel);
    if (reading.kind == gate.kind() && of_this) known.push_back(&reading);
  }
  GateBlock block{.kind = gate.kind(), .vessel = vessel, .text = FormatGate(gate)};
  if (known.empty()) {
    absl::StrAppend(&block.text, ": no reading yet");
    return block;
  }
  const WineReading& last = *known.back();
  absl::StrAppend(&block.text, ": last is ", Said(last));
  const std::optional<bool> keeps = Keeps(gate, last);
  if (!keeps.has_value()) {
    absl::StrAppend(&block.text, ", on another scale: read it in ",
                    ReadingUnitSymbol(FromWire(gate.unit())));
    return block;
  }
  if (!*keeps) return block;

  size_t first = known.size() - 1;
  while (first > 0 && Keeps(gate, *known[first - 1]).value_or(false)) --first;
  const int64_t count = static_cast<int64_t>(known.size() - first);
  const int64_t needed = std::max(gate.readings(), 1);
  const int64_t apart_us = needed > 1 ? gate.apart_hours() * kHourUs : 0;
  if (count >= needed && last.at_us - known[first]->at_us >= apart_us) return std::nullopt;
  absl::StrAppend(&block.text, "; ", std::max<int64_t>(needed - count, 1), " more");
  if (last.at_us - known[first]->at_us < apart_us) {
    block.not_before_us = known[first]->at_us + apart_us;
    absl::StrAppend(
        &block.text, ", not before ",
        FormatWhen({.at_us = block.not_before_us, .utc_offset_min = known[first]->utc_offset_min}));
  }
  return block;
}

std::vector<GateBlock> BlocksOf(const v1::PlanStep& step, const std::vector<WineReading>& readings,
                                const std::set<Handle>& holding) {
  std::vector<GateBlock> blocks;
  const auto add = [&](Handle vessel) {
    for (const v1::StepGate& gate : step.gates()) {
      if (auto block = BlockOf(gate, readings, holding, vessel); block.has_value())
        blocks.push_back(*std::move(block));
    }
  };
  if (holding.empty()) add(kNoHandle);
  for (const Handle vessel : holding) add(vessel);
  return blocks;
}

}  // namespace rundlet::plans

#include "core/view/wire_units.h"

#include <iterator>
#include <utility>

namespace rundlet {
namespace {

constexpr std::pair<ReadingKind, v1::ReadingKind> kKinds[] = {
    {ReadingKind::kDensity, v1::READING_KIND_DENSITY},
    {ReadingKind::kTemperature, v1::READING_KIND_TEMPERATURE},
    {ReadingKind::kPh, v1::READING_KIND_PH},
    {ReadingKind::kTitratableAcidity, v1::READING_KIND_TITRATABLE_ACIDITY},
    {ReadingKind::kFreeSo2, v1::READING_KIND_FREE_SO2},
    {ReadingKind::kTotalSo2, v1::READING_KIND_TOTAL_SO2},
    {ReadingKind::kVolatileAcidity, v1::READING_KIND_VOLATILE_ACIDITY},
    {ReadingKind::kResidualSugar, v1::READING_KIND_RESIDUAL_SUGAR},
    {ReadingKind::kAlcohol, v1::READING_KIND_ALCOHOL},
};
static_assert(std::size(kKinds) + 1 == v1::ReadingKind_ARRAYSIZE);

constexpr std::pair<ReadingUnit, v1::ReadingUnit> kUnits[] = {
    {ReadingUnit::kSpecificGravity, v1::READING_UNIT_SPECIFIC_GRAVITY},
    {ReadingUnit::kKgPerM3, v1::READING_UNIT_KG_PER_M3},
    {ReadingUnit::kGPerMl, v1::READING_UNIT_G_PER_ML},
    {ReadingUnit::kBrix, v1::READING_UNIT_BRIX},
    {ReadingUnit::kPlato, v1::READING_UNIT_PLATO},
    {ReadingUnit::kBaume, v1::READING_UNIT_BAUME},
    {ReadingUnit::kOechsle, v1::READING_UNIT_OECHSLE},
    {ReadingUnit::kCelsius, v1::READING_UNIT_CELSIUS},
    {ReadingUnit::kFahrenheit, v1::READING_UNIT_FAHRENHEIT},
    {ReadingUnit::kPh, v1::READING_UNIT_PH},
    {ReadingUnit::kGPerL, v1::READING_UNIT_G_PER_L},
    {ReadingUnit::kGPerLTartaric, v1::READING_UNIT_G_PER_L_TARTARIC},
    {ReadingUnit::kGPerLSulfuric, v1::READING_UNIT_G_PER_L_SULFURIC},
    {ReadingUnit::kGPerLMalic, v1::READING_UNIT_G_PER_L_MALIC},
    {ReadingUnit::kMgPerL, v1::READING_UNIT_MG_PER_L},
    {ReadingUnit::kPercentVol, v1::READING_UNIT_PERCENT_VOL},
    {ReadingUnit::kGPerLAcetic, v1::READING_UNIT_G_PER_L_ACETIC},
};
static_assert(std::size(kUnits) + 1 == v1::ReadingUnit_ARRAYSIZE);

constexpr std::pair<Dimension, v1::Dimension> kDimensions[] = {
    {Dimension::kMass, v1::DIMENSION_MASS},
    {Dimension::kVolume, v1::DIMENSION_VOLUME},
    {Dimension::kCount, v1::DIMENSION_COUNT},
};

template <typename Pairs, typename To, typename From>
To Forward(const Pairs& pairs, From from, To otherwise) {
  for (const auto& [ours, wire] : pairs) {
    if (ours == from) return wire;
  }
  return otherwise;
}

template <typename Pairs, typename To, typename From>
To Backward(const Pairs& pairs, From from, To otherwise) {
  for (const auto& [ours, wire] : pairs) {
    if (wire == from) return ours;
  }
  return otherwise;
}

}  // namespace

v1::ReadingKind ToWire(ReadingKind kind) {
  return Forward(kKinds, kind, v1::READING_KIND_UNSPECIFIED);
}
v1::ReadingUnit ToWire(ReadingUnit unit) {
  return Forward(kUnits, unit, v1::READING_UNIT_UNSPECIFIED);
}
v1::Dimension ToWire(Dimension dimension) {
  return Forward(kDimensions, dimension, v1::DIMENSION_UNSPECIFIED);
}
ReadingKind FromWire(v1::ReadingKind kind) {
  return Backward(kKinds, kind, ReadingKind::kUnspecified);
}
ReadingUnit FromWire(v1::ReadingUnit unit) {
  return Backward(kUnits, unit, ReadingUnit::kUnspecified);
}

v1::Amount ToWire(const Amount& amount) {
  v1::Amount wire;
  wire.set_dimension(ToWire(amount.dimension));
  wire.set_base(amount.base);
  return wire;
}

Amount FromWire(const v1::Amount& amount) {
  return {.dimension = Backward(kDimensions, amount.dimension(), Dimension::kCount),
          .base = amount.base()};
}

v1::Measurement ToWire(const Reading& reading) {
  v1::Measurement wire;
  wire.set_kind(ToWire(reading.kind));
  wire.set_unit(ToWire(reading.unit));
  wire.set_value_micro(reading.value_micro);
  return wire;
}

}  // namespace rundlet

#include "core/quantity/reading_units.h"

namespace rundlet {
namespace {

using Kind = ReadingKind;
using Unit = ReadingUnit;

constexpr int64_t kMilli = 1'000;  // millionths in a thousandth
constexpr int64_t kOne = 1'000'000;

constexpr ReadingRange Thousandths(int64_t low, int64_t high) {
  return {low * kMilli, high * kMilli};
}
constexpr ReadingRange Whole(int64_t low, int64_t high) { return {low * kOne, high * kOne}; }

constexpr ReadingRow kRows[] = {
    {Kind::kDensity, Unit::kSpecificGravity, "sg", Thousandths(980, 1200), Thousandths(780, 1450)},
    {Kind::kDensity, Unit::kKgPerM3, "kg/m3 g/l g/dm3", Whole(980, 1200), Whole(780, 1450)},
    {Kind::kDensity, Unit::kGPerMl, "g/ml g/cm3 g/cc kg/l", Thousandths(980, 1200),
     Thousandths(780, 1450)},
    {Kind::kDensity, Unit::kBrix, "bx brix", Whole(2, 40), Whole(-10, 85)},
    {Kind::kDensity, Unit::kPlato, "p plato", Whole(2, 40), Whole(-10, 85)},
    {Kind::kDensity, Unit::kBaume, "be bé baume baumé", Whole(2, 25), Whole(-5, 45)},
    {Kind::kDensity, Unit::kOechsle, "oe oechsle öchsle", Whole(20, 200), Whole(-50, 400)},

    {Kind::kTemperature, Unit::kCelsius, "c degc celsius", Whole(-10, 45), Whole(-30, 110)},
    {Kind::kTemperature, Unit::kFahrenheit, "f degf fahrenheit", Whole(14, 113), Whole(-22, 230)},

    {Kind::kPh, Unit::kPh, "ph", Thousandths(2500, 4500), Thousandths(1500, 9000)},

    {Kind::kTitratableAcidity, Unit::kGPerLTartaric, "g/l g/lastartaric g/ltartaric",
     Thousandths(2000, 20000), Thousandths(300, 80000)},
    {Kind::kTitratableAcidity, Unit::kGPerLSulfuric,
     "g/lassulfuric g/lsulfuric g/lassulphuric g/lsulphuric", Thousandths(1500, 13000),
     Thousandths(200, 52000)},
    {Kind::kTitratableAcidity, Unit::kGPerLMalic, "g/lasmalic g/lmalic", Thousandths(1800, 18000),
     Thousandths(300, 72000)},

    {Kind::kFreeSo2, Unit::kMgPerL, "mg/l ppm", Whole(0, 150), Whole(0, 2000)},
    {Kind::kTotalSo2, Unit::kMgPerL, "mg/l ppm", Whole(0, 450), Whole(0, 5000)},

    {Kind::kVolatileAcidity, Unit::kGPerLAcetic, "g/l g/lasacetic g/lacetic", Whole(0, 3),
     Whole(0, 80)},

    {Kind::kResidualSugar, Unit::kGPerL, "g/l", Whole(0, 500), Whole(0, 1000)},

    {Kind::kAlcohol, Unit::kPercentVol, "%vol % vol% %abv abv %v/v", Whole(0, 25), Whole(0, 100)},
};

constexpr ReadingKindInfo kKinds[] = {
    {Kind::kDensity, "density", "density sg gravity brix"},
    {Kind::kTemperature, "temperature", "temperature temp"},
    {Kind::kPh, "pH", "ph"},
    {Kind::kTitratableAcidity, "titratable acidity", "ta acidity titratable-acidity"},
    {Kind::kFreeSo2, "free SO2", "fso2 free-so2 free"},
    {Kind::kTotalSo2, "total SO2", "tso2 total-so2 total"},
    {Kind::kVolatileAcidity, "volatile acidity", "va volatile-acidity"},
    {Kind::kResidualSugar, "residual sugar", "rs sugar residual-sugar"},
    {Kind::kAlcohol, "alcohol", "alcohol abv alc"},
};

constexpr ReadingUnitInfo kUnits[] = {
    {Unit::kUnspecified, "", 0},
    {Unit::kSpecificGravity, "SG", 3},
    {Unit::kKgPerM3, "kg/m3", 0},
    {Unit::kGPerMl, "g/mL", 3},
    {Unit::kBrix, "°Bx", 1},
    {Unit::kPlato, "°P", 1},
    {Unit::kBaume, "°Bé", 1},
    {Unit::kOechsle, "°Oe", 0},
    {Unit::kCelsius, "°C", 0},
    {Unit::kFahrenheit, "°F", 0},
    {Unit::kPh, "pH", 2},
    {Unit::kGPerLTartaric, "g/L as tartaric", 1},
    {Unit::kGPerLSulfuric, "g/L as sulfuric", 1},
    {Unit::kGPerLMalic, "g/L as malic", 1},
    {Unit::kGPerLAcetic, "g/L as acetic", 2},
    {Unit::kMgPerL, "mg/L", 0},
    {Unit::kPercentVol, "%vol", 1},
    {Unit::kGPerL, "g/L", 1},
};

}  // namespace

absl::Span<const ReadingRow> AllReadingRows() { return kRows; }
absl::Span<const ReadingKindInfo> AllReadingKinds() { return kKinds; }

const ReadingUnitInfo& InfoOf(ReadingUnit unit) {
  for (const ReadingUnitInfo& info : kUnits) {
    if (info.unit == unit) return info;
  }
  return kUnits[0];
}

}  // namespace rundlet

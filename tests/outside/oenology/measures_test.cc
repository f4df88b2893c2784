// Goal: what core/oenology measures and reckons agrees with published values. Method: every row of
// measures.csv goes through the function that its check names, and must come out within the
// tolerance that the row states. A check without a function fails.
#include <gtest/gtest.h>

#include <functional>
#include <map>
#include <string>

#include "core/oenology/alcohol.h"
#include "core/oenology/carbon_dioxide.h"
#include "core/oenology/energy.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/fermentation.h"
#include "core/oenology/forecast.h"
#include "core/oenology/hydrometer.h"
#include "core/oenology/must.h"
#include "core/oenology/refractometer.h"
#include "core/oenology/scales.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/vessel_volume.h"
#include "core/oenology/water.h"
#include "tests/outside/oenology/check_rows.h"

namespace rundlet::oenology {
namespace {

using Result = absl::StatusOr<double>;
using Checks = std::map<std::string, std::function<Result(const CheckRow&)>>;

// A member of what a function gave, or its error.
template <typename T, typename Member>
Result Part(const absl::StatusOr<T>& whole, Member T::*member) {
  if (!whole.ok()) return whole.status();
  return (*whole).*member;
}

Result Found(std::optional<double> value) {
  if (!value.has_value()) return absl::NotFoundError("never");
  return *value;
}

void AddScales(Checks& checks) {
  checks["water-density"] = [](const CheckRow& r) { return WaterDensity(Input(r, "t")); };
  checks["sucrose-density"] = [](const CheckRow& r) {
    return SucroseDensity(Input(r, "brix"), Input(r, "t"));
  };
  checks["sucrose-density:gravity"] = [](const CheckRow& r) -> Result {
    const Result rho = DensityFrom(Scale::kBrix, Input(r, "brix"));
    return rho.ok() ? ReadingOf(Scale::kGravity, *rho) : rho;
  };
  checks["sucrose-density:sugar"] = [](const CheckRow& r) {
    return SucroseSugarGL(Input(r, "brix"));
  };
  checks["sucrose-density:brix"] = [](const CheckRow& r) {
    return SucroseBrix(Input(r, "sg") * kWater20KgM3, 20);
  };
  checks["apparent-gravity"] = [](const CheckRow& r) -> Result {
    const Result rho = SucroseDensity(Input(r, "brix"), 20);
    return rho.ok() ? ApparentGravity(*rho) : rho;
  };
  checks["sucrose-density:apparent"] = checks["apparent-gravity"];
  checks["must-density"] = [](const CheckRow& r) { return MustDensity(Input(r, "brix")); };
  checks["must-sugar"] = [](const CheckRow& r) { return MustSugarGL(Input(r, "rho")); };
  checks["plato"] = [](const CheckRow& r) {
    return ReadingOf(Scale::kPlato, Input(r, "sg") * kWater20KgM3);
  };
  checks["baume"] = [](const CheckRow& r) {
    EXPECT_EQ(Input(r, "modulus"), ModulusOf(BaumeModulus::kUs145));
    return ReadingOf(Scale::kBaume, Input(r, "sg") * kWater20KgM3);
  };
  checks["oechsle"] = [](const CheckRow& r) {
    return ReadingOf(Scale::kOechsle, Input(r, "sg") * kWater20KgM3);
  };
  checks["kmw"] = [](const CheckRow& r) -> Result {
    const Result rho = DensityFrom(Scale::kKmw, Input(r, "kmw"));
    return rho.ok() ? ReadingOf(Scale::kOechsle, *rho) : rho;
  };
}

HydrometerReading ReadingIn(const CheckRow& r) {
  HydrometerReading reading{.gravity = Input(r, "sg"),
                            .temperature_c = Input(r, "t"),
                            .calibration_c = Input(r, "calibration")};
  if (r.inputs.contains("glass")) reading.glass_per_k = Input(r, "glass");
  return reading;
}

void AddInstruments(Checks& checks) {
  checks["hydrometer-water"] = [](const CheckRow& r) { return CorrectAsWater(ReadingIn(r)); };
  checks["hydrometer-water:rise"] = [](const CheckRow& r) -> Result {
    const Result corrected = CorrectAsWater(ReadingIn(r));
    if (!corrected.ok()) return corrected;
    return *corrected - Input(r, "sg");
  };
  checks["hydrometer-sucrose"] = [](const CheckRow& r) { return CorrectAsSucrose(ReadingIn(r)); };
  checks["refractive-index"] = [](const CheckRow& r) { return RefractiveIndex(Input(r, "brix")); };
  checks["refractometer-temperature"] = [](const CheckRow& r) {
    return RefractometerTemperatureCorrection(Input(r, "brix"), Input(r, "t"));
  };
  checks["refractometer-alcohol:reading"] = [](const CheckRow& r) {
    return RefractometerReadingOf(Input(r, "alcohol_mass"), Input(r, "extract_mass"));
  };
  checks["fortified-alcohol"] = [](const CheckRow& r) {
    return FortifiedAlcohol(Input(r, "brix"), Input(r, "baume"));
  };
}

void AddSpirit(Checks& checks) {
  checks["ethanol-density"] = [](const CheckRow& r) {
    return DensityFromAlcohol(Input(r, "alcohol"), Input(r, "t"));
  };
  checks["ethanol-density:mass"] = [](const CheckRow& r) {
    return EthanolDensity(Input(r, "p"), Input(r, "t"));
  };
  checks["ethanol-density:fraction"] = [](const CheckRow& r) {
    return EthanolMassFraction(Input(r, "rho"), Input(r, "t"));
  };
  checks["ethanol-density:step"] = [](const CheckRow& r) -> Result {
    const Result there = DensityFromAlcohol(Input(r, "alcohol"), Input(r, "t"));
    const Result at_20 = DensityFromAlcohol(Input(r, "alcohol"), 20);
    if (!there.ok() || !at_20.ok()) return absl::InternalError("no density");
    return *there - *at_20;
  };
  checks["alcohol-by-volume"] = [](const CheckRow& r) -> Result {
    const Result fraction = MassFractionFromAlcohol(Input(r, "alcohol"));
    if (!fraction.ok()) return fraction;
    return 100 * *fraction;
  };
  checks["so2-density"] = [](const CheckRow& r) {
    return DensityWithoutSulfurDioxide(Input(r, "rho"), Input(r, "so2"));
  };
}

void AddAlcohol(Checks& checks) {
  const auto balling = [](const CheckRow& r) {
    return AlcoholByBalling(Input(r, "original"), Input(r, "present"));
  };
  checks["alcohol-factor"] = [](const CheckRow& r) {
    return AlcoholByFactor(Input(r, "original"), Input(r, "present"));
  };
  checks["alcohol-balling"] = [balling](const CheckRow& r) {
    return Part(balling(r), &Balling::alcohol_pct);
  };
  checks["alcohol-balling:real-extract"] = [balling](const CheckRow& r) {
    return Part(balling(r), &Balling::real_extract);
  };
  checks["alcohol-balling:mass"] = [balling](const CheckRow& r) {
    return Part(balling(r), &Balling::alcohol_mass);
  };
  checks["alcohol-cutaia"] = [](const CheckRow& r) {
    return AlcoholMassByCutaia(Input(r, "oe"), Input(r, "ae"));
  };
  checks["alcohol-extract:sugar"] = [](const CheckRow& r) {
    return AlcoholFromMustSugar(Input(r, "sugar"), Input(r, "present"), Input(r, "sugar_free"));
  };
  checks["alcohol-extract:middle"] = [](const CheckRow& r) {
    return Part(AlcoholSideBySide(Input(r, "original"), Input(r, "present")),
                &AlcoholSpread::middle);
  };
  checks["extract"] = [](const CheckRow& r) {
    return ExtractGL(Input(r, "sg"), Input(r, "alcohol"));
  };
  checks["potential-alcohol"] = [](const CheckRow& r) -> Result {
    for (const SugarYield yield : {SugarYield::kEu1683, SugarYield::kTheory1543}) {
      if (GramsPerPercent(yield) == Input(r, "per_pct")) {
        return PotentialAlcohol(Input(r, "sugar"), yield);
      }
    }
    return absl::NotFoundError("no such yield");
  };
  checks["instrument-alcohol"] = [](const CheckRow& r) {
    return InstrumentPotentialAlcohol(Input(r, "oechsle"));
  };
  const auto energy = [](const CheckRow& r) {
    return EnergyOf({.alcohol_pct = Input(r, "alcohol"),
                     .sugar_g_l = Input(r, "sugar"),
                     .acid_g_l = Input(r, "acid"),
                     .glycerol_g_l = Input(r, "glycerol")});
  };
  checks["energy:kj"] = [energy](const CheckRow& r) {
    return Part(energy(r), &Energy::kj_per_100_ml);
  };
  checks["energy:kcal"] = [energy](const CheckRow& r) {
    return Part(energy(r), &Energy::kcal_per_100_ml);
  };
}

void AddFermentation(Checks& checks) {
  checks["fermentation-gas"] = [](const CheckRow& r) {
    return CarbonDioxideGL(Input(r, "sugar"), Input(r, "share"));
  };
  checks["fermentation-gas:volume"] = [](const CheckRow& r) {
    return CarbonDioxideVolumeL(Input(r, "mass"), Input(r, "t"));
  };
  checks["fermentation-gas:litres"] = [](const CheckRow& r) -> Result {
    const Result mass = CarbonDioxideGL(Input(r, "sugar"), Input(r, "share"));
    return mass.ok() ? CarbonDioxideVolumeL(*mass, Input(r, "t")) : mass;
  };
  checks["fermentation-heat"] = [](const CheckRow& r) {
    return FermentationHeatKjL(Input(r, "sugar"));
  };
  checks["fermentation-warming"] = [](const CheckRow& r) {
    return FermentationWarmingK(Input(r, "sugar"));
  };
  checks["gas-in-water"] = [](const CheckRow& r) {
    return GasInWaterGL(Input(r, "t"), Input(r, "kpa"));
  };
  checks["gas-in-water:henry"] = [](const CheckRow& r) -> Result {
    return WeissSolubility(Input(r, "t")) * 1000 / 101325;
  };
  checks["gas-in-wine-20"] = [](const CheckRow& r) {
    return GasInWine20GL(Input(r, "kpa"), Input(r, "alcohol"), Input(r, "sugar"));
  };
  checks["forecast-logistic"] = [](const CheckRow& r) {
    return Found(LogisticDay(Input(r, "original"), Input(r, "final"), Input(r, "rate"),
                             Input(r, "middle"), Input(r, "target")));
  };
  checks["forecast-tail"] = [](const CheckRow& r) {
    return Found(TailDay(Input(r, "first"), Input(r, "final"), Input(r, "rate"), Input(r, "day"),
                         Input(r, "target")));
  };
}

void AddVessels(Checks& checks) {
  const auto barrel = [](const CheckRow& r) {
    return BarrelVolumeOf({.bung_cm = Input(r, "bung"),
                           .head_cm = Input(r, "head"),
                           .length_cm = Input(r, "length")});
  };
  checks["barrel-mean"] = [barrel](const CheckRow& r) {
    return Part(barrel(r), &BarrelVolume::mean_diameter_l);
  };
  checks["barrel-ellipse"] = [barrel](const CheckRow& r) {
    return Part(barrel(r), &BarrelVolume::ellipse_l);
  };
  checks["bottles"] = [](const CheckRow& r) -> Result {
    const absl::StatusOr<Bottles> bottles = BottlesOf(Input(r, "volume"), Input(r, "bottle"));
    if (!bottles.ok()) return bottles.status();
    return static_cast<double>(bottles->count);
  };
  checks["headspace-oxygen"] = [](const CheckRow& r) {
    return HeadspaceOxygenMg(Input(r, "litres"));
  };
}

TEST(MeasuresTest, AgreeWithWhatIsPublished) {
  Checks checks;
  AddScales(checks);
  AddInstruments(checks);
  AddSpirit(checks);
  AddAlcohol(checks);
  AddFermentation(checks);
  AddVessels(checks);
  std::map<std::string, int> used;
  const std::vector<CheckRow> rows = ReadCheckRows("measures.csv");
  for (const CheckRow& row : rows) {
    const auto check = checks.find(row.check);
    ASSERT_NE(check, checks.end()) << "line " << row.line << ": no function for " << row.check;
    const Result result = check->second(row);
    ASSERT_TRUE(result.ok()) << "line " << row.line << ", " << row.check << ": " << result.status();
    EXPECT_NEAR(*result, row.expected, row.tolerance)
        << "line " << row.line << ", " << row.check << " (" << row.source << ")";
    ++used[row.check];
  }
  EXPECT_GE(rows.size(), 230u);  // a file cut short would check little
  for (const auto& [name, unused] : checks) EXPECT_GT(used[name], 0) << "no row for " << name;
}

}  // namespace
}  // namespace rundlet::oenology

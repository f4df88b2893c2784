// Goal: additions agree with what was published.
// Method: every row of additions.csv goes through the function that its check names.
#include <gtest/gtest.h>

#include <functional>
#include <map>
#include <string>

#include "absl/status/statusor.h"
#include "core/oenology/acids.h"
#include "core/oenology/adjust.h"
#include "core/oenology/blend.h"
#include "core/oenology/fining.h"
#include "core/oenology/scales.h"
#include "core/oenology/sorbate.h"
#include "core/oenology/sulfite.h"
#include "core/oenology/yeast.h"
#include "tests/outside/oenology/check_rows.h"

namespace rundlet::oenology {
namespace {

using Result = absl::StatusOr<double>;
using Row = CheckRow;

constexpr double kPoundG = 453.59237;

// A part of what a function gives.
template <typename Whole, typename Part>
Result PartOf(const absl::StatusOr<Whole>& whole, Part Whole::*part) {
  if (!whole.ok()) return whole.status();
  return (*whole).*part;
}

double Or(const Row& row, const std::string& name, double otherwise) {
  return row.inputs.contains(name) ? Input(row, name) : otherwise;
}

using Checks = std::map<std::string, std::function<Result(const Row&)>>;

// The inputs acid, from, to: 0 tartaric, 1 sulfuric, 2 malic, 3 citric, 4 lactic, 5 acetic.
Acid AcidIn(const Row& row, const std::string& name) {
  return static_cast<Acid>(static_cast<int>(Input(row, name)));
}
// carbonate: 0 potassium bicarbonate, 1 potassium carbonate, 2 calcium carbonate.
Carbonate CarbonateIn(const Row& row) {
  return static_cast<Carbonate>(static_cast<int>(Input(row, "carbonate")));
}

SulfiteMaterial MaterialIn(const Row& row) {
  SulfiteMaterial material;
  if (Or(row, "sodium", 0) != 0) material.salt = SulfiteSalt::kSodiumMetabisulfite;
  material.yield = Or(row, "yield", 0);
  material.tablet_mass_g = Or(row, "tablet_g", 0);
  material.solution_pct_wv = Or(row, "solution_pct", 0);
  if (material.tablet_mass_g > 0) material.form = SulfiteForm::kTablets;
  if (material.solution_pct_wv > 0) material.form = SulfiteForm::kSolution;
  return material;
}

Result PercentMolecular(const Row& row) {
  const Result molecular = MolecularSo2(100, Input(row, "ph"), Input(row, "pk"));
  return molecular;
}

Checks SulfiteChecks() {
  return {
      {"free-for-molecular",
       [](const Row& row) {
         return FreeForMolecularSo2(Input(row, "molecular"), Input(row, "ph"), Input(row, "pk"));
       }},
      {"molecular-percent", PercentMolecular},
      {"pk1",
       [](const Row& row) {
         return PartOf(Pk1OfSo2(Input(row, "temperature"), Input(row, "alcohol")), &SulfurPk::pk);
       }},
      {"pk-in-wine",
       [](const Row& row) {
         return PartOf(PkBandOfSo2(Input(row, "temperature"), Input(row, "alcohol")),
                       &PkBand::wine);
       }},
      {"molecular-by-table",
       [](const Row& row) -> Result {
         const auto pk = Pk1OfSo2(Input(row, "temperature"), Input(row, "alcohol"));
         if (!pk.ok()) return pk.status();
         return MolecularSo2(Input(row, "free"), Input(row, "ph"), pk->pk);
       }},
      {"sulfite-yield",
       [](const Row& row) -> Result { return TheoreticalYield(MaterialIn(row).salt); }},
      {"so2-per-unit", [](const Row& row) { return So2PerUnitMg(MaterialIn(row)); }},
      {"sulfite-units",
       [](const Row& row) {
         return UnitsForRise(MaterialIn(row), Input(row, "rise"), Input(row, "volume"));
       }},
      {"sulfite-rise",
       [](const Row& row) {
         return RiseOfUnits(MaterialIn(row), Input(row, "units"), Input(row, "volume"));
       }},
  };
}

Checks AcidChecks() {
  return {
      {"acidity-as",
       [](const Row& row) {
         return ConvertAcidity(Input(row, "g_l"), AcidIn(row, "from"), AcidIn(row, "to"));
       }},
      {"acidity-meq",
       [](const Row& row) { return AcidityMeqL(Input(row, "g_l"), AcidIn(row, "acid")); }},
      {"acid-rise",
       [](const Row& row) { return RiseOfAcid(AcidIn(row, "acid"), Input(row, "g_l"), 1); }},
      {"acid-pounds",
       [](const Row& row) -> Result {
         const Result grams =
             AcidForRise(AcidIn(row, "acid"), Input(row, "rise"), Input(row, "volume"));
         if (!grams.ok()) return grams;
         return *grams / kPoundG;
       }},
      {"carbonate-grams",
       [](const Row& row) {
         return CarbonateForDrop(CarbonateIn(row), Input(row, "drop"), Input(row, "volume"),
                                 Input(row, "bitartrate") != 0);
       }},
      {"carbonate-drop-as-sulfuric",
       [](const Row& row) -> Result {
         const Result drop = DropOfCarbonate(CarbonateIn(row), Input(row, "g_l"), 1, false);
         if (!drop.ok()) return drop;
         return ConvertAcidity(*drop, Acid::kTartaric, Acid::kSulfuric);
       }},
      {"acid-for-ph",
       [](const Row& row) -> Result {
         const Result shift =
             PhShiftOfAcid(AcidIn(row, "acid"), 1, Input(row, "ph"), kUsualBufferMeq);
         if (!shift.ok()) return shift;
         return Input(row, "fall") / -*shift;
       }},
  };
}

Checks AdjustChecks() {
  return {
      {"sugar-volume",
       [](const Row& row) -> Result {
         const auto sugar =
             SugarToBrix(Input(row, "volume"), Input(row, "brix"), Input(row, "target"));
         if (!sugar.ok()) return sugar.status();
         return (sugar->volume_l - Input(row, "volume")) / sugar->added_kg;
       }},
      {"sugar-for-alcohol",
       [](const Row& row) {
         return PartOf(SugarForAlcohol(Input(row, "volume"), Input(row, "potential"),
                                       Input(row, "rise"), Input(row, "k")),
                       &Adjustment::added_kg);
       }},
      {"make-up-brix",
       [](const Row& row) {
         return PartOf(
             MakeUpToVolume(Input(row, "concentrate"), Input(row, "brix"), Input(row, "volume")),
             &MakeUp::brix);
       }},
      {"make-up-gravity",
       [](const Row& row) -> Result {
         const auto made =
             MakeUpToVolume(Input(row, "concentrate"), Input(row, "brix"), Input(row, "volume"));
         if (!made.ok()) return made.status();
         return ReadingOf(Scale::kGravity, made->density_kg_m3);
       }},
      {"water-to-brix",
       [](const Row& row) {
         return PartOf(WaterToBrix(Input(row, "volume"), Input(row, "brix"), Input(row, "target")),
                       &Adjustment::added_l);
       }},
      {"mix-volume",
       [](const Row& row) {
         return PartOf(MixStrengths(Input(row, "first"), Input(row, "first_pct"),
                                    Input(row, "second"), Input(row, "second_pct")),
                       &SpiritMix::volume_l);
       }},
      {"mix-strength",
       [](const Row& row) {
         return PartOf(MixStrengths(Input(row, "first"), Input(row, "first_pct"),
                                    Input(row, "second"), Input(row, "second_pct")),
                       &SpiritMix::strength_pct);
       }},
      {"pearson-square",
       [](const Row& row) {
         return PartOf(SpiritToStrength(Input(row, "volume"), Input(row, "wine"),
                                        Input(row, "spirit"), Input(row, "target")),
                       &SpiritDose::square_l);
       }},
      {"blend-mean",
       [](const Row& row) {
         const double volumes[] = {Input(row, "v1"), Input(row, "v2")};
         const double values[] = {Input(row, "c1"), Input(row, "c2")};
         return BlendMean(volumes, values);
       }},
  };
}

Checks OtherChecks() {
  return {
      {"nitrogen-of-dap", [](const Row&) -> Result { return kNitrogenOfDap; }},
      {"nutrient-grams",
       [](const Row& row) {
         return NutrientForRise(Input(row, "rise"), Input(row, "volume"), kNitrogenOfDap);
       }},
      {"nutrient-rise",
       [](const Row& row) {
         return RiseOfNutrient(Input(row, "grams"), Input(row, "volume"), kNitrogenOfDap);
       }},
      {"yan-target",
       [](const Row& row) {
         return PartOf(YanTargetFor(Input(row, "brix")), &YanTarget::yan_mg_l);
       }},
      {"inoculum-cells",
       [](const Row& row) {
         return PartOf(InoculumFor(100, Input(row, "g_hl")), &Inoculum::cells_million_ml);
       }},
      {"sorbic-acid-share", [](const Row&) -> Result { return kSorbicAcidOfSorbate; }},
      {"sorbate-dose",
       [](const Row& row) {
         return PartOf(SorbateFor(Input(row, "alcohol"), Input(row, "ph")),
                       &SorbateDose::sorbate_mg_l);
       }},
      {"sorbic-acid-by-alcohol",
       [](const Row& row) { return SorbicAcidByAlcohol(Input(row, "alcohol")); }},
      {"fining-low",
       [](const Row& row) -> Result {
         return RangeOf(static_cast<Fining>(static_cast<int>(Input(row, "fining")))).low_mg_l;
       }},
      {"fining-high",
       [](const Row& row) -> Result {
         return RangeOf(static_cast<Fining>(static_cast<int>(Input(row, "fining")))).high_mg_l;
       }},
      {"bentonite-water",
       [](const Row& row) {
         return PartOf(BentoniteSlurry(Input(row, "grams"), Input(row, "slurry"), 100),
                       &Slurry::water_l);
       }},
      {"copper-of-sulfate",
       [](const Row& row) {
         return CopperOfSulfate(Input(row, "ml") * Input(row, "pct") * 10, Input(row, "volume"));
       }},
      {"bench-trial",
       [](const Row& row) {
         return PartOf(ScaleUp({Input(row, "pct"), Input(row, "ml"), Input(row, "sample")}, 1),
                       &TrialDose::dose_mg_l);
       }},
  };
}

TEST(AdditionsOutsideTest, EveryRowAgrees) {
  Checks checks;
  for (const Checks& some : {SulfiteChecks(), AcidChecks(), AdjustChecks(), OtherChecks()}) {
    checks.insert(some.begin(), some.end());
  }
  const std::vector<CheckRow> rows = ReadCheckRows("additions.csv");
  EXPECT_GE(rows.size(), 60u);
  std::map<std::string, int> used;
  for (const CheckRow& row : rows) {
    SCOPED_TRACE(testing::Message() << "additions.csv:" << row.line << " " << row.check);
    const auto check = checks.find(row.check);
    ASSERT_NE(check, checks.end()) << "no such check";
    ++used[row.check];
    const Result result = check->second(row);
    ASSERT_TRUE(result.ok()) << result.status();
    EXPECT_NEAR(*result, row.expected, row.tolerance) << row.source;
  }
  // A check that no row uses checks nothing.
  for (const auto& [name, unused] : checks) EXPECT_GT(used[name], 0) << name;
}

}  // namespace
}  // namespace rundlet::oenology

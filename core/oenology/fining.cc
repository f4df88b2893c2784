#include "core/oenology/fining.h"

#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kFiningRanges = {
    "fining-ranges",
    "Doses of finings",
    "g = mg/L x L / 1000, within the range of a source for each",
    "mg/L: bentonite 250-500 (up to 3000), silica 30-300, gelatine 15-150 white and 30-300 red, "
    "casein 50-500, isinglass 10-100, egg albumin 60-100, PVPP 200-600, chitosan 100-1000",
    "the right dose lies anywhere in the range, or outside: only a bench trial tells",
    "a college's fining table; chitosan: OIV Code II.3.2.12 (1000 mg/L the most)",
    Standing::kRead};
const Equation kBentoniteSlurry = {
    "bentonite-slurry",
    "Bentonite and its water",
    "water L = g / (10 x % w/v); at 6 % 16.7 mL of water for each g",
    "1 to 15 % w/v; clean water of 60 C, bentonite into the water, at least four hours to swell",
    "none in the sum; water from all sources should stay below 1 % of the wine",
    "Purdue Extension FS-53-W, as quoted",
    Standing::kSecondHand};
const Equation kBenchTrial = {"bench-trial",
                              "From a trial in the glass to the vessel",
                              "mg/L = mL of stock x % w/v x 10 000 / mL of sample; g = mg/L x L / "
                              "1000",
                              "any stock",
                              "that of the pipette, and of how alike glass and vessel are mixed",
                              "arithmetic",
                              Standing::kDerived};
const Equation kSilicaSol = {"silica-sol",
                             "Volume of a silica sol",
                             "mL = mg/L of SiO2 x L / (10 x % w/w x density); density 1 + 0.0068 x "
                             "% (1.20 g/mL at 30 %)",
                             "5 to 50 % w/w",
                             "3 %: densities differ by maker; the label has it",
                             "density of common sols, recalled",
                             Standing::kMemory};
const Equation kCopperSulfate = {"copper-sulfate",
                                 "Copper in copper sulfate pentahydrate",
                                 "mg of Cu = 0.2545 x mg of CuSO4.5H2O",
                                 "blue, unweathered crystals",
                                 "none for fresh crystals",
                                 "molar masses; a bench-trial hand-out agrees",
                                 Standing::kRead};
const Equation kOak = {"oak-chips",
                       "Oak chips",
                       "g = g/L x L; 1 to 4 g/L, one to eight weeks, tasted every week",
                       "chips and cubes",
                       "a matter of taste, wood and toast",
                       "common practice; 3 g/L on a supplier's sheet",
                       Standing::kPractice};

namespace {

constexpr absl::string_view kTable = "a college's fining table";

constexpr FiningRange kRanges[] = {
    {Fining::kBentonite, "bentonite", 250, 500, kTable, Standing::kRead, false},
    {Fining::kSilicaSol, "silica sol, as SiO2", 30, 300, kTable, Standing::kRead, false},
    {Fining::kGelatineWhite, "gelatine for white wine", 15, 150, kTable, Standing::kRead, false},
    {Fining::kGelatineRed, "gelatine for red wine", 30, 300, kTable, Standing::kRead, false},
    {Fining::kChitosan, "chitosan", 100, 1000,
     "OIV Code II.3.2.12 for the upper end; the lower end recalled", Standing::kMemory, true},
    {Fining::kCasein, "casein", 50, 500, kTable, Standing::kRead, true},
    {Fining::kIsinglass, "isinglass", 10, 100, kTable, Standing::kRead, true},
    {Fining::kEggAlbumin, "egg albumin", 60, 100, kTable, Standing::kRead, true},
    {Fining::kPvpp, "PVPP", 200, 600, kTable, Standing::kRead, false},
    {Fining::kTannin, "tannin", 50, 300, "common practice, recalled", Standing::kMemory, false},
    {Fining::kOakChips, "oak chips", 1000, 4000, "common practice, recalled", Standing::kMemory,
     false},
};

absl::Status CheckVolume(double volume_l) { return CheckRange("volume", volume_l, 0.01, 1e6, "L"); }

double SolDensity(double sol_pct) { return 1 + 0.0068 * sol_pct; }

}  // namespace

absl::Span<const FiningRange> FiningRanges() { return kRanges; }

const FiningRange& RangeOf(Fining fining) {
  for (const FiningRange& range : kRanges) {
    if (range.fining == fining) return range;
  }
  return kRanges[0];
}

absl::StatusOr<double> FiningMass(double dose_mg_l, double volume_l) {
  if (absl::Status bad =
          FirstError({CheckRange("dose", dose_mg_l, 0, 20000, "mg/L"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  return dose_mg_l * volume_l / 1000;
}

absl::StatusOr<Slurry> BentoniteSlurry(double mass_g, double slurry_pct, double volume_l) {
  if (absl::Status bad =
          FirstError({CheckRange("bentonite", mass_g, 0, 2e7, "g"),
                      CheckRange("slurry", slurry_pct, 1, 15, "% w/v"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  const double water_l = mass_g / (10 * slurry_pct);
  return Slurry{water_l, water_l / volume_l * 100};
}

absl::StatusOr<TrialDose> ScaleUp(const BenchTrial& trial, double volume_l) {
  if (absl::Status bad = FirstError(
          {CheckRange("stock", trial.stock_pct_wv, 0.01, 50, "% w/v"),
           CheckRange("stock in the sample", trial.stock_ml, 0, 100, "mL"),
           CheckRange("sample", trial.sample_ml, 10, 5000, "mL"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  if (trial.stock_ml > trial.sample_ml) {
    return absl::OutOfRangeError(
        "more stock than sample: write the mL of stock that went into the mL of wine");
  }
  TrialDose dose;
  dose.dose_mg_l = trial.stock_ml * trial.stock_pct_wv * 10000 / trial.sample_ml;
  dose.mass_g = dose.dose_mg_l * volume_l / 1000;
  dose.stock_ml = trial.stock_ml / trial.sample_ml * volume_l * 1000;
  return dose;
}

absl::StatusOr<double> SilicaSolMl(double silica_mg_l, double sol_pct, double volume_l) {
  if (absl::Status bad =
          FirstError({CheckRange("silica", silica_mg_l, 0, 5000, "mg/L"),
                      CheckRange("sol", sol_pct, 5, 50, "% w/w"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  return silica_mg_l * volume_l / (10 * sol_pct * SolDensity(sol_pct));
}

absl::StatusOr<double> SilicaOfSol(double sol_ml_hl, double sol_pct) {
  if (absl::Status bad = FirstError({CheckRange("sol", sol_ml_hl, 0, 1000, "mL/hL"),
                                     CheckRange("sol", sol_pct, 5, 50, "% w/w")});
      !bad.ok()) {
    return bad;
  }
  return sol_ml_hl * sol_pct * SolDensity(sol_pct) / 10;
}

absl::StatusOr<double> CopperSulfateMg(double copper_mg_l, double volume_l) {
  if (absl::Status bad =
          FirstError({CheckRange("copper", copper_mg_l, 0, 20, "mg/L"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  return copper_mg_l * volume_l / kCopperOfSulfate;
}

absl::StatusOr<double> CopperOfSulfate(double sulfate_mg, double volume_l) {
  if (absl::Status bad = FirstError(
          {CheckRange("copper sulfate", sulfate_mg, 0, 1e8, "mg"), CheckVolume(volume_l)});
      !bad.ok()) {
    return bad;
  }
  return sulfate_mg * kCopperOfSulfate / volume_l;
}

}  // namespace rundlet::oenology

#include "core/oenology/yeast.h"

#include <algorithm>

#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kYanTarget = {"yan-target",
                             "Nitrogen that a must should have",
                             "mg N/L: 200, 250, 300, 350 at 21, 23, 25, 27 Brix, straight between",
                             "21 to 27 Brix; the nearest value is taken outside",
                             "a recommendation, 25 mg N/L; yeasts differ by more: ask its maker",
                             "Bisson and Butzke 2000, recalled",
                             Standing::kMemory};
const Equation kNutrientNitrogen = {
    "nutrient-nitrogen",
    "Nutrient for a rise of nitrogen",
    "g = rise (mg N/L) x L / 1000 / (g N per g); diammonium phosphate 0.2121, others by their "
    "label",
    "rise of 0 to 1000 mg N/L",
    "none for diammonium phosphate; organic nutrients work better than their N says",
    "molar masses, 2 x 14.007 / 132.056",
    Standing::kDerived};
const Equation kInoculum = {"inoculum",
                            "Dried yeast for a volume",
                            "g = g/hL x L / 100; cells/mL = g/hL x 2e10 / 1e5",
                            "20 to 25 g/hL, up to twice that in hard musts",
                            "as its age and storage have it",
                            "AWRI, rehydration of active dried yeast",
                            Standing::kRead};

const Equation kYeastForSugar = {
    "yeast-for-sugar",
    "Dried yeast by the sugar of the must",
    "g/hL: 25 up to 25 Brix, 50 from 30 Brix on, straight between",
    "0 to 50 Brix",
    "a recommendation; the label of the yeast goes first",
    "25 and up to twice that in hard musts: AWRI, rehydration of active dried yeast, read; from "
    "which sugar on a must is hard: our own choice",
    Standing::kDerived};

absl::StatusOr<double> YeastRateFor(double brix) {
  constexpr double kHardFromBrix = 25;
  constexpr double kHardestBrix = 30;
  if (absl::Status bad = CheckRange("sugar", brix, 0, 50, "Brix"); !bad.ok()) return bad;
  const double hard = std::clamp((brix - kHardFromBrix) / (kHardestBrix - kHardFromBrix), 0.0, 1.0);
  return kUsualYeastGHl + hard * (kMostYeastGHl - kUsualYeastGHl);
}

absl::StatusOr<YanTarget> YanTargetFor(double brix) {
  if (absl::Status bad = CheckRange("sugar", brix, 5, 40, "Brix"); !bad.ok()) return bad;
  const double inside = std::clamp(brix, 21.0, 27.0);
  return YanTarget{200 + 25 * (inside - 21), inside != brix};
}

absl::StatusOr<double> NutrientForRise(double rise_mg_l, double volume_l, double nitrogen_share) {
  if (absl::Status bad =
          FirstError({CheckRange("rise of nitrogen", rise_mg_l, 0, 1000, "mg/L"),
                      CheckRange("volume", volume_l, 0.01, 1e6, "L"),
                      CheckShare("nitrogen in the nutrient", nitrogen_share, 0.005, 0.5)});
      !bad.ok()) {
    return bad;
  }
  return rise_mg_l * volume_l / 1000 / nitrogen_share;
}

absl::StatusOr<double> RiseOfNutrient(double mass_g, double volume_l, double nitrogen_share) {
  if (absl::Status bad =
          FirstError({CheckRange("nutrient", mass_g, 0, 1e7, "g"),
                      CheckRange("volume", volume_l, 0.01, 1e6, "L"),
                      CheckShare("nitrogen in the nutrient", nitrogen_share, 0.005, 0.5)});
      !bad.ok()) {
    return bad;
  }
  return mass_g * 1000 * nitrogen_share / volume_l;
}

absl::StatusOr<Inoculum> InoculumFor(double volume_l, double rate_g_hl) {
  if (absl::Status bad = FirstError({CheckRange("volume", volume_l, 0.01, 1e6, "L"),
                                     CheckRange("yeast", rate_g_hl, 1, 200, "g/hL")});
      !bad.ok()) {
    return bad;
  }
  constexpr double kCellsPerGram = 2e10;
  Inoculum inoculum;
  inoculum.yeast_g = rate_g_hl * volume_l / 100;
  inoculum.water_ml = inoculum.yeast_g * 10;
  inoculum.cells_million_ml = rate_g_hl * kCellsPerGram / 1e5 / 1e6;
  return inoculum;
}

}  // namespace rundlet::oenology

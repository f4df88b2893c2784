#include "core/oenology/acids.h"

#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kAcidEquivalents = {
    "acid-equivalents",
    "One acidity as another acid",
    "as B = as A x Eq(B) / Eq(A); Eq: tartaric 75.043, sulfuric 49.040, malic 67.043, citric "
    "64.041, lactic 90.078, acetic 60.052 g",
    "any",
    "none",
    "molar masses; AWRI Technical Note 14; Handbook of Enology 1",
    Standing::kRead};
const Equation kTitration = {"titration",
                             "Acidity from a titration",
                             "g/L = Eq x mL of base x normality / mL of sample",
                             "degassed sample; end point pH 7 (OIV) or 8.2 (USA)",
                             "0.1 g/L; between the two end points about 0.3 g/L",
                             "molar masses",
                             Standing::kDerived};
const Equation kAcidAddition = {
    "acid-addition",
    "Acid for a rise of titratable acidity",
    "g = rise (g/L as tartaric) x L x Eq(acid) / 75.043",
    "0 to 20 g/L",
    "exact in the glass; bitartrate that falls out later takes back up to half of tartaric acid",
    "molar masses; agrees with a bench-trial hand-out (8.3 lb of tartaric acid per 1000 US gal)",
    Standing::kRead};
const Equation kDeacidification = {
    "deacidification",
    "Carbonate for a fall of titratable acidity",
    "g per g/L as tartaric and L: KHCO3 1.334, K2CO3 0.921, CaCO3 0.667; with all potassium "
    "falling out as bitartrate KHCO3 0.667, K2CO3 0.460",
    "0 to 20 g/L; bicarbonate does not suit TA above 10 g/L unless pH is below 3.0",
    "between the two figures for potassium; calcium reaches about 85 % in wine",
    "reactions: AWRI; 0.49 and 0.98 g/L as sulfuric: Handbook of Enology 2; Mattick, Plane and "
    "Weirs 1980",
    Standing::kRead};
const Equation kPhShift = {
    "ph-shift",
    "A guess at the change of pH",
    "change = equivalents that dissociate (meq/L) / buffer capacity; 45 meq/L per pH unless given",
    "pH 2.8 to 4.2; buffer capacity 30 to 60",
    "half of itself",
    "textbook buffer theory; capacity and dissociation constants recalled",
    Standing::kMemory};

namespace {

constexpr double kTartaricEquivalent = 75.043;

absl::Status CheckChange(absl::string_view name, double change_g_l, double volume_l) {
  return FirstError(
      {CheckRange(name, change_g_l, 0, 20, "g/L"), CheckRange("volume", volume_l, 0.01, 1e6, "L")});
}

absl::Status CheckMass(double mass_g, double volume_l) {
  if (absl::Status bad = FirstError({CheckRange("mass", mass_g, 0, 2e7, "g"),
                                     CheckRange("volume", volume_l, 0.01, 1e6, "L")});
      !bad.ok()) {
    return bad;
  }
  return CheckRange("addition", mass_g / volume_l, 0, 20, "g/L");
}

absl::Status CheckAddable(Acid acid) {
  if (acid == Acid::kSulfuric || acid == Acid::kAcetic) {
    return absl::InvalidArgumentError(absl::StrCat(
        AcidName(acid), " acid is no addition: use tartaric, malic, citric or lactic acid"));
  }
  return absl::OkStatus();
}

// g of the carbonate that take one mole of protons.
double EquivalentMass(Carbonate carbonate) {
  switch (carbonate) {
    case Carbonate::kPotassiumBicarbonate:
      return 100.115;
    case Carbonate::kPotassiumCarbonate:
      return 138.205 / 2;
    case Carbonate::kCalciumCarbonate:
      return 100.087 / 2;
  }
  return 100.115;
}

// g of carbonate per g of TA as tartaric.
double CarbonatePerTa(Carbonate carbonate, bool bitartrate_falls) {
  const bool doubled = bitartrate_falls && carbonate != Carbonate::kCalciumCarbonate;
  return EquivalentMass(carbonate) / kTartaricEquivalent / (doubled ? 2 : 1);
}

// Protons that a molecule gives off at a pH, over those it has. Constants in 12 % vol.
double DissociatedShare(Acid acid, double ph) {
  double pk[3] = {3.2, 4.3, 0};
  int protons = 2;
  if (acid == Acid::kMalic) {
    pk[0] = 3.6, pk[1] = 5.1;
  } else if (acid == Acid::kCitric) {
    pk[0] = 3.3, pk[1] = 4.9, pk[2] = 6.4, protons = 3;
  } else if (acid == Acid::kLactic) {
    pk[0] = 3.87, protons = 1;
  }
  double term = 1;
  double all = 1;
  double given = 0;
  for (int i = 0; i < protons; ++i) {
    term *= std::pow(10, ph - pk[i]);
    all += term;
    given += (i + 1) * term;
  }
  return given / all / protons;
}

}  // namespace

absl::string_view AcidName(Acid acid) {
  switch (acid) {
    case Acid::kTartaric:
      return "tartaric";
    case Acid::kSulfuric:
      return "sulfuric";
    case Acid::kMalic:
      return "malic";
    case Acid::kCitric:
      return "citric";
    case Acid::kLactic:
      return "lactic";
    case Acid::kAcetic:
      return "acetic";
  }
  return "unknown";
}

double EquivalentMass(Acid acid) {
  switch (acid) {
    case Acid::kTartaric:
      return kTartaricEquivalent;
    case Acid::kSulfuric:
      return 49.040;
    case Acid::kMalic:
      return 67.043;
    case Acid::kCitric:
      return 64.041;
    case Acid::kLactic:
      return 90.078;
    case Acid::kAcetic:
      return 60.052;
  }
  return kTartaricEquivalent;
}

absl::string_view CarbonateName(Carbonate carbonate) {
  switch (carbonate) {
    case Carbonate::kPotassiumBicarbonate:
      return "potassium bicarbonate";
    case Carbonate::kPotassiumCarbonate:
      return "potassium carbonate";
    case Carbonate::kCalciumCarbonate:
      return "calcium carbonate";
  }
  return "unknown";
}

absl::StatusOr<double> ConvertAcidity(double acidity_g_l, Acid from, Acid to) {
  if (absl::Status bad = CheckRange("acidity", acidity_g_l, 0, 100, "g/L"); !bad.ok()) return bad;
  return acidity_g_l * EquivalentMass(to) / EquivalentMass(from);
}

absl::StatusOr<double> AcidityMeqL(double acidity_g_l, Acid acid) {
  if (absl::Status bad = CheckRange("acidity", acidity_g_l, 0, 100, "g/L"); !bad.ok()) return bad;
  return acidity_g_l / EquivalentMass(acid) * 1000;
}

absl::StatusOr<double> AcidityFromTitration(double base_ml, double normality, double sample_ml,
                                            Acid as) {
  if (absl::Status bad = FirstError({CheckRange("base", base_ml, 0, 250, "mL"),
                                     CheckRange("normality", normality, 0.005, 2, "N"),
                                     CheckRange("sample", sample_ml, 1, 250, "mL")});
      !bad.ok()) {
    return bad;
  }
  const double acidity_g_l = EquivalentMass(as) * base_ml * normality / sample_ml;
  if (absl::Status bad = CheckRange("acidity", acidity_g_l, 0, 100, "g/L"); !bad.ok()) return bad;
  return acidity_g_l;
}

absl::StatusOr<double> AcidForRise(Acid acid, double rise_g_l, double volume_l) {
  if (absl::Status bad =
          FirstError({CheckAddable(acid), CheckChange("rise of acidity", rise_g_l, volume_l)});
      !bad.ok()) {
    return bad;
  }
  return rise_g_l * volume_l * EquivalentMass(acid) / kTartaricEquivalent;
}

absl::StatusOr<double> RiseOfAcid(Acid acid, double mass_g, double volume_l) {
  if (absl::Status bad = FirstError({CheckAddable(acid), CheckMass(mass_g, volume_l)}); !bad.ok()) {
    return bad;
  }
  return mass_g / volume_l * kTartaricEquivalent / EquivalentMass(acid);
}

absl::StatusOr<double> CarbonateForDrop(Carbonate carbonate, double drop_g_l, double volume_l,
                                        bool bitartrate_falls) {
  if (absl::Status bad = CheckChange("fall of acidity", drop_g_l, volume_l); !bad.ok()) return bad;
  return drop_g_l * volume_l * CarbonatePerTa(carbonate, bitartrate_falls);
}

absl::StatusOr<double> DropOfCarbonate(Carbonate carbonate, double mass_g, double volume_l,
                                       bool bitartrate_falls) {
  if (absl::Status bad = CheckMass(mass_g, volume_l); !bad.ok()) return bad;
  return mass_g / volume_l / CarbonatePerTa(carbonate, bitartrate_falls);
}

absl::StatusOr<double> PhShiftOfAcid(Acid acid, double added_g_l, double ph, double buffer_meq) {
  if (absl::Status bad =
          FirstError({CheckAddable(acid), CheckRange("addition", added_g_l, 0, 20, "g/L"),
                      CheckRange("pH", ph, 2.5, 4.5, ""),
                      CheckRange("buffer capacity", buffer_meq, 10, 150, "meq/L per pH")});
      !bad.ok()) {
    return bad;
  }
  const double meq = added_g_l / EquivalentMass(acid) * 1000;
  return -meq * DissociatedShare(acid, ph) / buffer_meq;
}

absl::StatusOr<double> PhShiftOfCarbonate(Carbonate carbonate, double added_g_l,
                                          double buffer_meq) {
  if (absl::Status bad =
          FirstError({CheckRange("addition", added_g_l, 0, 20, "g/L"),
                      CheckRange("buffer capacity", buffer_meq, 10, 150, "meq/L per pH")});
      !bad.ok()) {
    return bad;
  }
  return added_g_l / EquivalentMass(carbonate) * 1000 / buffer_meq;
}

}  // namespace rundlet::oenology

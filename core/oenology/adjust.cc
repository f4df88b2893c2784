#include "core/oenology/adjust.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/range.h"
#include "core/oenology/solve.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {

const Equation kSugarAddition = {"sugar-to-brix",
                                 "Sugar to a Brix",
                                 "kg = V x rho / 1000 x (B2 - B1) / (100 - B2); new volume = mass "
                                 "/ rho(B2)",
                                 "0 to 60 Brix, must or juice without alcohol",
                                 "that of the two readings; a must holds salts, 1 % of the volume",
                                 "mass balance; density of ICUMSA SPS-4",
                                 Standing::kDerived};
const Equation kSugarForAlcohol = {
    "sugar-for-alcohol",
    "Sugar for a rise of alcohol",
    "kg = k V r / (1000 x 1.0526 - 0.62 k (A + r)), k = 16.83 g/L for 1 % vol unless given",
    "rise up to 8 % vol",
    "4 %: yeasts need 16.5 to 18 g/L",
    "mass balance; agrees with the Austrian 3.4 kg in 100 L for 2 % vol; 16.83: OIV",
    Standing::kDerived};
const Equation kConcentrateAddition = {"concentrate-to-brix",
                                       "Concentrate to a Brix",
                                       "kg = V x rho / 1000 x (B2 - B1) / (Bc - B2); L = kg / rho",
                                       "0 to 85 Brix",
                                       "that of the readings",
                                       "mass balance; density of ICUMSA SPS-4",
                                       Standing::kDerived};
const Equation kWaterAddition = {"water-to-brix",
                                 "Water to lower a Brix",
                                 "kg = V x rho / 1000 x (B1 / B2 - 1)",
                                 "1 to 60 Brix",
                                 "that of the readings; acid and all else fall with the sugar",
                                 "mass balance; density of ICUMSA SPS-4",
                                 Standing::kDerived};
const Equation kMakeUp = {"make-up",
                          "Concentrate made up with water",
                          "V rho(B) B = Vc rho(Bc) Bc, solved for B or Vc; water = (mass - mass of "
                          "concentrate) / 0.9982",
                          "0 to 85 Brix",
                          "that of the concentrate's label: 1 Brix in 68 is 1.5 %",
                          "mass balance; density of ICUMSA SPS-4",
                          Standing::kDerived};
const Equation kSpirit = {"spirit",
                          "Spirit to a strength, with shrinkage",
                          "mass of spirit = mass of wine x (pt - pw) / (ps - pt), p = mass "
                          "fraction of ethanol; volumes by density",
                          "0 to 100 % vol; sugar is taken as water",
                          "0.1 % vol in dry wine, more in sweet",
                          "OIML R 22 (1975), density of water and ethanol",
                          Standing::kDerived};
const Equation kPearsonSquare = {"pearson-square",
                                 "Pearson square",
                                 "parts of spirit : wine = (target - wine) : (spirit - target)",
                                 "any two strengths around the target",
                                 "it leaves out shrinkage: 12 to 18 % vol with 96 comes out 0.1 "
                                 "% vol too strong",
                                 "a rule of arithmetic in all handbooks",
                                 Standing::kPractice};

namespace {

absl::Status CheckVolume(absl::string_view name, double volume_l) {
  return CheckRange(name, volume_l, 0.01, 1e6, "L");
}

absl::Status CheckBrix(absl::string_view name, double brix, double low, double high) {
  return CheckRange(name, brix, low, high, "Brix");
}

// Strengths that all but touch ask for a sea.
absl::Status CheckAdded(double added_l) {
  return CheckRange("what must be added", added_l, 0, 1e7, "L");
}

double RhoAt20(double brix) { return internal::SucroseDensity(brix, 20); }

// What must be larger is.
absl::Status CheckAbove(absl::string_view name, double value, absl::string_view other_name,
                        double other) {
  if (value > other) return absl::OkStatus();
  return absl::OutOfRangeError(absl::StrCat(name, " ", value, " is not above ", other_name, " ",
                                            other, ": there is nothing to add"));
}

}  // namespace

absl::StatusOr<Adjustment> SugarToBrix(double volume_l, double brix, double target_brix) {
  if (absl::Status bad =
          FirstError({CheckVolume("volume", volume_l), CheckBrix("sugar", brix, 0, 60),
                      CheckBrix("target", target_brix, 0, 60),
                      CheckAbove("target", target_brix, "the Brix that is there,", brix)});
      !bad.ok()) {
    return bad;
  }
  const double mass_kg = volume_l * RhoAt20(brix) / 1000;
  Adjustment sugar;
  sugar.added_kg = mass_kg * (target_brix - brix) / (100 - target_brix);
  sugar.volume_l = (mass_kg + sugar.added_kg) / RhoAt20(target_brix) * 1000;
  return sugar;
}

absl::StatusOr<Adjustment> SugarForAlcohol(double volume_l, double potential_pct, double rise_pct,
                                           double sugar_g_l_pct) {
  if (absl::Status bad =
          FirstError({CheckVolume("volume", volume_l),
                      CheckRange("potential alcohol", potential_pct, 0, 20, "% vol"),
                      CheckRange("rise", rise_pct, 0, 8, "% vol"),
                      CheckRange("sugar for 1 % vol", sugar_g_l_pct, 15.4, 20, "g/L")});
      !bad.ok()) {
    return bad;
  }
  constexpr double kHexoseOfSucrose = 2 * 180.156 / 342.297;
  constexpr double kLitresPerKg = 0.62;  // that sucrose adds to the volume
  Adjustment sugar;
  sugar.added_kg =
      sugar_g_l_pct * volume_l * rise_pct /
      (1000 * kHexoseOfSucrose - kLitresPerKg * sugar_g_l_pct * (potential_pct + rise_pct));
  sugar.volume_l = volume_l + kLitresPerKg * sugar.added_kg;
  return sugar;
}

absl::StatusOr<Adjustment> ConcentrateToBrix(double volume_l, double brix, double target_brix,
                                             double concentrate_brix) {
  if (absl::Status bad = FirstError(
          {CheckVolume("volume", volume_l), CheckBrix("sugar", brix, 0, 60),
           CheckBrix("target", target_brix, 0, 60),
           CheckBrix("concentrate", concentrate_brix, 0, kMostBrix),
           CheckAbove("target", target_brix, "the Brix that is there,", brix),
           CheckAbove("concentrate of Brix", concentrate_brix, "the target", target_brix)});
      !bad.ok()) {
    return bad;
  }
  const double mass_kg = volume_l * RhoAt20(brix) / 1000;
  Adjustment added;
  added.added_kg = mass_kg * (target_brix - brix) / (concentrate_brix - target_brix);
  added.added_l = added.added_kg / RhoAt20(concentrate_brix) * 1000;
  added.volume_l = (mass_kg + added.added_kg) / RhoAt20(target_brix) * 1000;
  if (absl::Status bad = CheckAdded(added.added_l); !bad.ok()) return bad;
  return added;
}

absl::StatusOr<Adjustment> WaterToBrix(double volume_l, double brix, double target_brix) {
  if (absl::Status bad =
          FirstError({CheckVolume("volume", volume_l), CheckBrix("sugar", brix, 1, 60),
                      CheckBrix("target", target_brix, 1, 60),
                      CheckAbove("Brix", brix, "the target", target_brix)});
      !bad.ok()) {
    return bad;
  }
  const double mass_kg = volume_l * RhoAt20(brix) / 1000;
  Adjustment water;
  water.added_kg = mass_kg * (brix / target_brix - 1);
  water.added_l = water.added_kg / kWater20KgM3 * 1000;
  water.volume_l = (mass_kg + water.added_kg) / RhoAt20(target_brix) * 1000;
  return water;
}

absl::StatusOr<MakeUp> MakeUpToBrix(double volume_l, double brix, double concentrate_brix) {
  if (absl::Status bad =
          FirstError({CheckVolume("volume", volume_l), CheckBrix("target", brix, 0, kMostBrix),
                      CheckBrix("concentrate", concentrate_brix, 1, kMostBrix)});
      !bad.ok()) {
    return bad;
  }
  if (concentrate_brix < brix) {
    return absl::OutOfRangeError(absl::StrCat("concentrate of ", concentrate_brix,
                                              " Brix is weaker than the target of ", brix,
                                              ": take a stronger one"));
  }
  MakeUp made;
  made.volume_l = volume_l;
  made.brix = brix;
  made.density_kg_m3 = RhoAt20(brix);
  const double concentrate_rho = RhoAt20(concentrate_brix);
  made.concentrate_l = volume_l * made.density_kg_m3 * brix / (concentrate_rho * concentrate_brix);
  const double water_kg =
      (volume_l * made.density_kg_m3 - made.concentrate_l * concentrate_rho) / 1000;
  made.water_l = water_kg / kWater20KgM3 * 1000;
  return made;
}

absl::StatusOr<MakeUp> MakeUpToVolume(double concentrate_l, double concentrate_brix,
                                      double volume_l) {
  if (absl::Status bad = FirstError({CheckVolume("concentrate", concentrate_l),
                                     CheckBrix("concentrate", concentrate_brix, 1, kMostBrix),
                                     CheckVolume("volume", volume_l)});
      !bad.ok()) {
    return bad;
  }
  if (volume_l < concentrate_l) {
    return absl::OutOfRangeError(absl::StrCat(
        "the volume of ", volume_l, " L is less than the concentrate of ", concentrate_l, " L"));
  }
  const double sugar = concentrate_l * RhoAt20(concentrate_brix) * concentrate_brix;
  // At most that of the concentrate itself, whatever rounding says.
  const double most = RhoAt20(concentrate_brix) * concentrate_brix;
  const absl::StatusOr<double> brix = Solve(
      "Brix of the made-up must", [](double b) { return RhoAt20(b) * b; },
      std::min(sugar / volume_l, most), 0, concentrate_brix);
  if (!brix.ok()) return brix.status();
  return MakeUpToBrix(volume_l, *brix, concentrate_brix);
}

absl::StatusOr<SpiritMix> MixStrengths(double first_l, double first_pct, double second_l,
                                       double second_pct) {
  if (absl::Status bad =
          FirstError({CheckVolume("volume", first_l), CheckRange("added", second_l, 0, 1e6, "L"),
                      CheckRange("alcohol", first_pct, 0, 100, "% vol"),
                      CheckRange("alcohol added", second_pct, 0, 100, "% vol")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<double> first = MassFractionFromAlcohol(first_pct);
  if (!first.ok()) return first.status();
  const absl::StatusOr<double> second = MassFractionFromAlcohol(second_pct);
  if (!second.ok()) return second.status();
  const double first_kg = first_l * internal::EthanolDensity(*first, 20) / 1000;
  const double second_kg = second_l * internal::EthanolDensity(*second, 20) / 1000;
  const double fraction = (first_kg * *first + second_kg * *second) / (first_kg + second_kg);
  const absl::StatusOr<double> strength = AlcoholFromMassFraction(fraction);
  if (!strength.ok()) return strength.status();
  SpiritMix mix;
  mix.strength_pct = *strength;
  mix.volume_l = (first_kg + second_kg) / internal::EthanolDensity(fraction, 20) * 1000;
  mix.shrinkage_l = first_l + second_l - mix.volume_l;
  return mix;
}

absl::StatusOr<SpiritDose> SpiritToStrength(double volume_l, double wine_pct, double spirit_pct,
                                            double target_pct) {
  if (absl::Status bad = FirstError({CheckVolume("volume", volume_l),
                                     CheckRange("alcohol of the wine", wine_pct, 0, 100, "% vol"),
                                     CheckRange("strength", spirit_pct, 0, 100, "% vol"),
                                     CheckRange("target", target_pct, 0, 100, "% vol")});
      !bad.ok()) {
    return bad;
  }
  const bool between = (wine_pct < target_pct && target_pct < spirit_pct) ||
                       (spirit_pct < target_pct && target_pct < wine_pct);
  if (!between) {
    return absl::OutOfRangeError(absl::StrCat("the target of ", target_pct,
                                              " % vol does not lie between ", wine_pct, " and ",
                                              spirit_pct, " % vol"));
  }
  double fraction[3];
  const double strengths[3] = {wine_pct, spirit_pct, target_pct};
  for (int i = 0; i < 3; ++i) {
    const absl::StatusOr<double> one = MassFractionFromAlcohol(strengths[i]);
    if (!one.ok()) return one.status();
    fraction[i] = *one;
  }
  const double wine_kg = volume_l * internal::EthanolDensity(fraction[0], 20) / 1000;
  const double added_kg = wine_kg * (fraction[2] - fraction[0]) / (fraction[1] - fraction[2]);
  SpiritDose dose;
  dose.added_l = added_kg / internal::EthanolDensity(fraction[1], 20) * 1000;
  dose.volume_l = (wine_kg + added_kg) / internal::EthanolDensity(fraction[2], 20) * 1000;
  dose.shrinkage_l = volume_l + dose.added_l - dose.volume_l;
  dose.square_l = volume_l * (target_pct - wine_pct) / (spirit_pct - target_pct);
  if (absl::Status bad = FirstError({CheckAdded(dose.added_l), CheckAdded(dose.square_l)});
      !bad.ok()) {
    return bad;
  }
  return dose;
}

}  // namespace rundlet::oenology

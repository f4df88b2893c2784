#include "core/oenology/alcohol.h"

#include <algorithm>
#include <vector>

#include "absl/strings/str_cat.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/must.h"
#include "core/oenology/range.h"
#include "core/oenology/solve.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

absl::Status CheckPair(double original, double present) {
  if (absl::Status s = FirstError({CheckRange("original SG", original, 0.99, 1.2, ""),
                                   CheckRange("present SG", present, 0.965, 1.2, "")});
      !s.ok()) {
    return s;
  }
  if (present <= original) return absl::OkStatus();
  return absl::InvalidArgumentError(absl::StrCat("present SG ", present,
                                                 " is above the original SG ", original,
                                                 ": were they written the wrong way round?"));
}

absl::Status CheckSugarFreeExtract(double g_l) {
  return CheckRange("sugar-free extract", g_l, 10, 50, "g/L");
}

// What is weighed in a litre of wine, in volume of ethanol at 20 C.
double ByVolume(double alcohol_mass, double gravity) {
  return alcohol_mass * gravity * kWater20KgM3 / kEthanol20KgM3;
}

absl::StatusOr<double> ExtractOf(double gravity) { return SucroseBrix(gravity * kWater20KgM3, 20); }

}  // namespace

constexpr Equation kAlcoholFactor = {"alcohol-factor",
                                     "Alcohol by a simple factor",
                                     "A = 131.25 (OG - FG), % vol, SG",
                                     "SG 0.965 to 1.2",
                                     "about 0.5 % vol in wine, our judgement",
                                     "a brewing course's formula sheet",
                                     Standing::kRead};

constexpr Equation kAlcoholBalling = {
    "alcohol-balling",
    "Alcohol from extract before and now, Balling",
    "RE = 0.1808 OE + 0.8192 AE; w = (OE - RE) / (2.0665 - 0.010665 OE); A = w SG 998.21 / 789.24; "
    "extracts and w in % by mass",
    "SG 0.965 to 1.2; made for beer",
    "about 0.5 % vol in wine, our judgement",
    "Balling's 2.0665 g of extract to 1 g of ethanol read in a course's formula sheet; the "
    "relation "
    "itself from memory; extracts by ICUMSA",
    Standing::kMemory};

constexpr Equation kAlcoholCutaia = {"alcohol-cutaia",
                                     "Alcohol from extract before and now, fitted to beers",
                                     "w = (0.372 + 0.00357 OE) (OE - AE), % by mass",
                                     "OE 9 to 18 % by mass, beer, n = 532",
                                     "not stated for wine",
                                     "Cutaia, Reid & Speers 2009, J. Inst. Brew. 115:318",
                                     Standing::kRead};

constexpr Equation kAlcoholExtract = {
    "alcohol-extract",
    "Alcohol of grape wine from the must's sugar and the extract that is left",
    "A = (S0 + N - E(A)) / 16.83, solved for A; S0 sugar of the must, N sugar-free extract, E "
    "total "
    "extract by Tabarie, g/L",
    "must of SG 1.041 to 1.130, sugar-free extract 10 to 50 g/L",
    "about 0.5 % vol, our judgement; 5 g/L of sugar-free extract move it by 0.3",
    "our own combination of OIV-MA-AS2-02, OIML R 22, ICUMSA and Tabarie's relation",
    Standing::kDerived};

constexpr Equation kExtract = {
    "extract",
    "Total dry extract of wine, Tabarie",
    "dr = dv - da + 1; E = w rho of the sucrose solution of SG dr, g/L; dv wine, da water and "
    "ethanol of the same % vol, SG 20/20",
    "SG 0.965 to 1.13, alcohol 0 to 25 % vol",
    "2 g/L, our estimate",
    "Tabarie's relation as in OIV-MA-AS2-03B, from memory; densities by OIML R 22 and ICUMSA",
    Standing::kMemory};

constexpr Equation kResidualSugar = {
    "residual-sugar",
    "Sugar left, estimated from the extract",
    "S = E - N, not below 0, g/L; E total dry extract, N sugar-free extract",
    "SG 0.965 to 1.13, alcohol 0 to 25 % vol, sugar-free extract 10 to 50 g/L",
    "7 g/L, our judgement: N runs from 18 to 30",
    "definition of sugar-free extract; 25 g/L where N is not known is common practice",
    Standing::kDerived};

constexpr Equation kPotentialAlcohol = {
    "potential-alcohol",
    "Potential alcohol from sugar",
    "A = S / k, % vol, S in g/L; k = 16.83 (OIV, EU), 17.5 (older French), 17 (common), 16.5 (high "
    "yield), 15.43 (theory)",
    "sugar 0 to 500 g/L",
    "k of real fermentations 16.5 to 18 g/L",
    "OIV-MA-AS2-02 table in the French arrete of 14 September 2011 (16.83 and 17.5); 17 and 16.5 "
    "are common practice",
    Standing::kRead};

constexpr Equation kInstrumentAlcohol = {"instrument-alcohol",
                                         "Potential alcohol as must refractometers print it",
                                         "A = 0.059 (2.66 Oe - 30), % vol",
                                         "40 to 150 Oe",
                                         "not stated",
                                         "manuals of two must refractometers, which agree",
                                         Standing::kRead};

namespace internal {

double ExtractGL(double gravity, double alcohol_pct) {
  const double da = EthanolDensityAt20(alcohol_pct) / kR22Water20KgM3;
  const double rho = (gravity - da + 1) * kWater20KgM3;
  const absl::StatusOr<double> brix = SucroseBrix(rho, 20);
  // Beyond the ends of the formula what counts is only that it is far off, and on which side.
  return brix.ok() ? *brix / 100 * rho : (rho < kWater20KgM3 ? -100.0 : 1200.0);
}

}  // namespace internal

absl::StatusOr<double> AlcoholByFactor(double original, double present) {
  if (absl::Status s = CheckPair(original, present); !s.ok()) return s;
  return 131.25 * (original - present);
}

absl::StatusOr<Balling> AlcoholByBalling(double original, double present) {
  if (absl::Status s = CheckPair(original, present); !s.ok()) return s;
  const absl::StatusOr<double> oe = ExtractOf(original);
  const absl::StatusOr<double> ae = ExtractOf(present);
  if (!oe.ok()) return oe.status();
  if (!ae.ok()) return ae.status();
  Balling result{.original_extract = *oe, .apparent_extract = *ae};
  result.real_extract = 0.1808 * *oe + 0.8192 * *ae;
  result.alcohol_mass = (*oe - result.real_extract) / (2.0665 - 0.010665 * *oe);
  result.alcohol_pct = ByVolume(result.alcohol_mass, present);
  return result;
}

absl::StatusOr<double> AlcoholMassByCutaia(double original_extract, double apparent_extract) {
  if (absl::Status s = FirstError(
          {CheckRange("original extract", original_extract, 9, 18, "% by mass"),
           CheckRange("apparent extract", apparent_extract, -5, original_extract, "% by mass")});
      !s.ok()) {
    return s;
  }
  return (0.372 + 0.00357 * original_extract) * (original_extract - apparent_extract);
}

absl::StatusOr<double> AlcoholByCutaia(double original, double present) {
  const absl::StatusOr<Balling> extracts = AlcoholByBalling(original, present);
  if (!extracts.ok()) return extracts.status();
  const absl::StatusOr<double> mass =
      AlcoholMassByCutaia(extracts->original_extract, extracts->apparent_extract);
  if (!mass.ok()) return mass;
  return ByVolume(*mass, present);
}

absl::StatusOr<double> AlcoholFromMustSugar(double must_sugar_g_l, double present,
                                            double sugar_free_extract_g_l) {
  if (absl::Status s = FirstError({CheckRange("sugar of the must", must_sugar_g_l, 50, 400, "g/L"),
                                   CheckRange("present SG", present, 0.965, 1.2, ""),
                                   CheckSugarFreeExtract(sugar_free_extract_g_l)});
      !s.ok()) {
    return s;
  }
  // More alcohol means more extract at the same gravity, so the right side falls as A rises.
  const auto surplus = [&](double alcohol_pct) {
    const double extract = internal::ExtractGL(present, alcohol_pct);
    const double eaten = must_sugar_g_l + sugar_free_extract_g_l - extract;
    return eaten / GramsPerPercent(SugarYield::kEu1683) - alcohol_pct;
  };
  if (surplus(0) <= 0) return 0;  // nothing has fermented yet, within the error of it all
  return Solve("alcohol", surplus, 0, 0, 25);
}

absl::StatusOr<double> AlcoholByExtract(double original, double present,
                                        double sugar_free_extract_g_l) {
  if (absl::Status s = CheckPair(original, present); !s.ok()) return s;
  const absl::StatusOr<double> sugar = MustSugarGL(original * kWater20KgM3);
  if (!sugar.ok()) return sugar;
  return AlcoholFromMustSugar(*sugar, present, sugar_free_extract_g_l);
}

absl::StatusOr<AlcoholSpread> AlcoholSideBySide(double original, double present,
                                                double sugar_free_extract_g_l) {
  if (absl::Status s = CheckSugarFreeExtract(sugar_free_extract_g_l); !s.ok()) return s;
  const absl::StatusOr<double> factor = AlcoholByFactor(original, present);
  if (!factor.ok()) return factor.status();
  const absl::StatusOr<Balling> balling = AlcoholByBalling(original, present);
  if (!balling.ok()) return balling.status();
  const absl::StatusOr<double> extract =
      AlcoholByExtract(original, present, sugar_free_extract_g_l);
  if (!extract.ok() && extract.status().code() != absl::StatusCode::kOutOfRange) {
    return extract.status();
  }
  AlcoholSpread all{.by_factor = *factor, .by_balling = *balling};
  std::vector<double> values = {*factor, balling->alcohol_pct};
  if (extract.ok()) values.push_back(*extract);
  if (extract.ok()) all.by_extract = *extract;
  all.low = *std::min_element(values.begin(), values.end());
  all.high = *std::max_element(values.begin(), values.end());
  for (const double value : values) all.middle += value / static_cast<double>(values.size());
  return all;
}

absl::StatusOr<double> ExtractGL(double gravity, double alcohol_pct) {
  if (absl::Status s = FirstError({CheckRange("SG", gravity, 0.965, 1.13, ""),
                                   CheckRange("alcohol", alcohol_pct, 0, 25, "% vol")});
      !s.ok()) {
    return s;
  }
  return internal::ExtractGL(gravity, alcohol_pct);
}

absl::StatusOr<double> ResidualSugarGL(double gravity, double alcohol_pct,
                                       double sugar_free_extract_g_l) {
  if (absl::Status s = CheckSugarFreeExtract(sugar_free_extract_g_l); !s.ok()) {
    return s;
  }
  const absl::StatusOr<double> extract = ExtractGL(gravity, alcohol_pct);
  if (!extract.ok()) return extract;
  return std::max(0.0, *extract - sugar_free_extract_g_l);
}

double GramsPerPercent(SugarYield yield) {
  switch (yield) {
    case SugarYield::kEu1683:
      return 16.83;
    case SugarYield::kFrench175:
      return 17.5;
    case SugarYield::kCommon17:
      return 17;
    case SugarYield::kHigh165:
      return 16.5;
    case SugarYield::kTheory1543:
      return 15.43;
  }
  return 16.83;
}

absl::StatusOr<double> PotentialAlcohol(double sugar_g_l, SugarYield yield) {
  if (absl::Status s = CheckRange("sugar", sugar_g_l, 0, 500, "g/L"); !s.ok()) return s;
  return sugar_g_l / GramsPerPercent(yield);
}

absl::StatusOr<double> InstrumentPotentialAlcohol(double oechsle) {
  if (absl::Status s = CheckRange("Oechsle", oechsle, 40, 150, "°Oe"); !s.ok()) return s;
  return 0.059 * (2.66 * oechsle - 30);
}

}  // namespace rundlet::oenology

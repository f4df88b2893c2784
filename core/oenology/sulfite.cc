#include "core/oenology/sulfite.h"

#include <algorithm>
#include <cmath>

#include "core/oenology/range.h"

namespace rundlet::oenology {

const Equation kMolecularSo2 = {
    "molecular-so2",
    "Molecular SO2 from free SO2 and pH",
    "molecular = free / (1 + 10^(pH - pK1)), mg/L; the sulfite ion is left out (pK2 about 7.2)",
    "pH 2.5 to 4.5",
    "below 0.1 % for what is left out; in all that of pH (0.05: 12 %) and of pK1",
    "Henderson and Hasselbalch; as used in OIV-MA-AS323-04C",
    Standing::kRead};
const Equation kSulfurPk = {
    "so2-pk1",
    "First dissociation constant of SO2 by temperature and alcohol",
    "table, bilinear: 20 C 1.798 (0 % vol), 1.897 (5), 1.997 (10), 2.099 (15); rises by 0.04 per K",
    "20 to 40 C, 0 to 15 % vol; the nearest value is taken outside",
    "0.02 between editions; sources that measured heat give a slope four times smaller (1.91 "
    "instead of 2.22 at 30 C in water)",
    "OIV-MA-AS323-04C, Table I (thermodynamic constants of Usseglio-Tomasset and Bosia)",
    Standing::kRead};
const Equation kSulfurPkInWine = {
    "so2-pk-in-wine",
    "Constant of SO2 for a pH meter and free SO2 in mg/L",
    "pK1 - 0.08: pKM = pKT - A sqrt(I) / (1 + B sqrt(I)), ionic strength I = 0.038",
    "20 to 40 C, 0 to 15 % vol; the nearest value is taken outside",
    "0.01 against the method's own table as recalled; in all the distance to 1.81, the constant of "
    "water in older tables, below and to pK1 above",
    "formula and I: OIV-MA-AS323-04C; 0.08: limiting law of Debye and Hueckel, A 0.51 to 0.58, B 1 "
    "to 1.6",
    Standing::kDerived};
const Equation kSulfiteYield = {
    "sulfite-yield",
    "SO2 from metabisulfite",
    "g SO2 per g: K2S2O5 2 x 64.066 / 222.32 = 0.576; Na2S2O5 128.13 / 190.11 = 0.674",
    "dry, fresh salt; old powder 0.50 to 0.55",
    "the age of the powder: down to a seventh less",
    "molar masses; 57.6 % in Practical Winery and Vineyard, January 2014",
    Standing::kRead};
const Equation kSulfiteFreeShare = {
    "sulfite-free-share",
    "How much of an addition stays free",
    "rise of free SO2 = share x SO2 added; share 0.6 unless one is given",
    "0.35 (turbid or sweet) to 0.75 (clean and dry)",
    "the whole of that range",
    "range: Practical Winery and Vineyard, January 2014; 0.6: its middle, our choice",
    Standing::kDerived};
const Equation kSulfiteLoss = {"sulfite-loss",
                               "Free SO2 lost while wine is kept",
                               "free = free at first - loss per month x months",
                               "tank 2 to 5 mg/L a month, barrel 5 to 10",
                               "as large as itself",
                               "recalled from handbooks; measure your own",
                               Standing::kMemory};

namespace {

constexpr double kTableTemperature[] = {20, 25, 30, 35, 40};
constexpr double kTableAlcohol[] = {0, 5, 10, 15};
constexpr double kTablePk[4][5] = {{1.798, 2.000, 2.219, 2.334, 2.493},
                                   {1.897, 2.098, 2.299, 2.397, 2.527},
                                   {1.997, 2.198, 2.394, 2.488, 2.606},
                                   {2.099, 2.301, 2.503, 2.607, 2.728}};

absl::Status CheckPhAndPk(double ph, double pk) {
  return FirstError({CheckRange("pH", ph, 2.5, 4.5, ""), CheckRange("pK1", pk, 1.5, 3.0, "")});
}

}  // namespace

absl::StatusOr<SulfurPk> Pk1OfSo2(double temperature_c, double alcohol_pct) {
  if (absl::Status bad = FirstError({CheckRange("temperature", temperature_c, -5, 50, "C"),
                                     CheckRange("alcohol", alcohol_pct, 0, 25, "% vol")});
      !bad.ok()) {
    return bad;
  }
  const double t = std::clamp(temperature_c, 20.0, 40.0);
  const double a = std::clamp(alcohol_pct, 0.0, 15.0);
  const int column = std::min(static_cast<int>((t - 20) / 5), 3);
  const int row = std::min(static_cast<int>(a / 5), 2);
  const double x = (t - kTableTemperature[column]) / 5;
  const double y = (a - kTableAlcohol[row]) / 5;
  const auto along = [&](int r) {
    return kTablePk[r][column] * (1 - x) + kTablePk[r][column + 1] * x;
  };
  return SulfurPk{along(row) * (1 - y) + along(row + 1) * y,
                  t != temperature_c || a != alcohol_pct};
}

absl::StatusOr<PkBand> PkBandOfSo2(double temperature_c, double alcohol_pct) {
  const absl::StatusOr<SulfurPk> table = Pk1OfSo2(temperature_c, alcohol_pct);
  if (!table.ok()) return table.status();
  const double wine = table->pk - kPkLessForIons;
  return PkBand{.low = std::min(wine, kPkInWater),
                .wine = wine,
                .high = std::max(table->pk, kPkInWater),
                .clamped = table->clamped};
}

absl::StatusOr<double> MolecularSo2(double free_mg_l, double ph, double pk) {
  if (absl::Status bad =
          FirstError({CheckRange("free SO2", free_mg_l, 0, 1000, "mg/L"), CheckPhAndPk(ph, pk)});
      !bad.ok()) {
    return bad;
  }
  return free_mg_l / (1 + std::pow(10, ph - pk));
}

absl::StatusOr<double> FreeForMolecularSo2(double molecular_mg_l, double ph, double pk) {
  if (absl::Status bad = FirstError(
          {CheckRange("molecular SO2", molecular_mg_l, 0, 5, "mg/L"), CheckPhAndPk(ph, pk)});
      !bad.ok()) {
    return bad;
  }
  return molecular_mg_l * (1 + std::pow(10, ph - pk));
}

double TheoreticalYield(SulfiteSalt salt) {
  constexpr double kSulfurDioxide = 64.066;
  return salt == SulfiteSalt::kSodiumMetabisulfite ? 2 * kSulfurDioxide / 190.107
                                                   : 2 * kSulfurDioxide / 222.32;
}

absl::string_view SulfiteSaltName(SulfiteSalt salt) {
  return salt == SulfiteSalt::kSodiumMetabisulfite ? "sodium metabisulfite"
                                                   : "potassium metabisulfite";
}

absl::StatusOr<double> So2PerUnitMg(const SulfiteMaterial& material) {
  double yield = TheoreticalYield(material.salt);
  if (material.yield != 0) {
    if (absl::Status bad = CheckShare("SO2 yield", material.yield, 0.3, 0.7); !bad.ok()) {
      return bad;
    }
    yield = material.yield;
  }
  double salt_g = 1;
  absl::Status bad;
  if (material.form == SulfiteForm::kSolution) {
    bad = CheckRange("strength of the solution", material.solution_pct_wv, 0.1, 40, "% w/v");
    salt_g = material.solution_pct_wv / 100;
  } else if (material.form == SulfiteForm::kTablets) {
    bad = CheckRange("salt in a tablet", material.tablet_mass_g, 0.05, 20, "g");
    salt_g = material.tablet_mass_g;
  }
  if (!bad.ok()) return bad;
  return salt_g * yield * 1000;
}

absl::StatusOr<double> UnitsForRise(const SulfiteMaterial& material, double rise_mg_l,
                                    double volume_l) {
  if (absl::Status bad = FirstError({CheckRange("rise of SO2", rise_mg_l, 0, 1000, "mg/L"),
                                     CheckRange("volume", volume_l, 0.01, 1e6, "L")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<double> per_unit = So2PerUnitMg(material);
  if (!per_unit.ok()) return per_unit.status();
  return rise_mg_l * volume_l / *per_unit;
}

absl::StatusOr<double> RiseOfUnits(const SulfiteMaterial& material, double units, double volume_l) {
  if (absl::Status bad = FirstError({CheckRange("amount", units, 0, 1e7, ""),
                                     CheckRange("volume", volume_l, 0.01, 1e6, "L")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<double> per_unit = So2PerUnitMg(material);
  if (!per_unit.ok()) return per_unit.status();
  const double rise_mg_l = units * *per_unit / volume_l;
  if (absl::Status bad = CheckRange("rise of SO2", rise_mg_l, 0, 1000, "mg/L"); !bad.ok()) {
    return bad;
  }
  return rise_mg_l;
}

}  // namespace rundlet::oenology

#ifndef RUNDLET_CORE_OENOLOGY_SULFITE_H_
#define RUNDLET_CORE_OENOLOGY_SULFITE_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

// Sulfur dioxide: how much of the free part is molecular, and how much a sulfite brings. Every
// function refuses what lies outside its range (OutOfRange) and what is no number
// (InvalidArgument).
namespace rundlet::oenology {

extern const Equation kMolecularSo2;
extern const Equation kSulfurPk;
extern const Equation kSulfurPkInWine;
extern const Equation kSulfiteYield;
extern const Equation kSulfiteFreeShare;
extern const Equation kSulfiteLoss;

// The pK that the older tables use for every wine: water, near 20 C.
inline constexpr double kPkInWater = 1.81;

// Of an addition, what stays free: what to assume where nobody has measured, and what sources give.
inline constexpr double kUsualFreeShare = 0.6;
inline constexpr double kLowestFreeShare = 0.35;   // turbid or sweet wine
inline constexpr double kHighestFreeShare = 0.75;  // clean, dry wine

struct SulfurPk {
  double pk = 0;
  bool clamped = false;  // the table ended before what was asked; the nearest value was taken
};

// First dissociation constant of SO2, from the OIV table: bilinear between its rows. Asked -5 to
// 50 C and 0 to 25 % vol; the table has 20 to 40 C and 0 to 15 % vol, and is clamped outside.
absl::StatusOr<SulfurPk> Pk1OfSo2(double temperature_c, double alcohol_pct);

// By how much the OIV method lowers the table's constant for the ions of a wine (ionic strength
// 0.038), where pH comes from a meter and free SO2 in mg/L.
inline constexpr double kPkLessForIons = 0.08;

// The constants in use for one wine disagree, and nobody can say which is right for it. Their order
// is always low <= wine <= high; a smaller constant means less molecular SO2, so more free SO2 is
// needed: the low one protects the wine most.
struct PkBand {
  double low = 0;   // the lower of 1.81, as older tables have it, and `wine`
  double wine = 0;  // the OIV table less kPkLessForIons: what its method goes by
  double high = 0;  // the higher of 1.81 and the table itself
  bool clamped = false;
};
// Asked -5 to 50 C and 0 to 25 % vol, clamped as Pk1OfSo2() is.
absl::StatusOr<PkBand> PkBandOfSo2(double temperature_c, double alcohol_pct);

// Molecular SO2, mg/L, of free SO2 (0 to 1000 mg/L) at a pH of 2.5 to 4.5, and back.
absl::StatusOr<double> MolecularSo2(double free_mg_l, double ph, double pk);
absl::StatusOr<double> FreeForMolecularSo2(double molecular_mg_l, double ph, double pk);

enum class SulfiteSalt { kPotassiumMetabisulfite, kSodiumMetabisulfite };

// g of SO2 in a g of the pure salt: 0.576 and 0.674.
double TheoreticalYield(SulfiteSalt salt);
absl::string_view SulfiteSaltName(SulfiteSalt salt);

enum class SulfiteForm { kPowder, kSolution, kTablets };

// What is at hand. Its unit is the g of powder, the mL of solution, or the tablet.
struct SulfiteMaterial {
  SulfiteSalt salt = SulfiteSalt::kPotassiumMetabisulfite;
  SulfiteForm form = SulfiteForm::kPowder;
  double yield = 0;            // g SO2 per g of salt, 0.3 to 0.7; 0: theory
  double solution_pct_wv = 0;  // g of salt in 100 mL, 0.1 to 40; solutions only
  double tablet_mass_g = 0;    // of salt in one tablet, 0.05 to 20; tablets only
};

// mg of SO2 that one unit brings.
absl::StatusOr<double> So2PerUnitMg(const SulfiteMaterial& material);
// Units for a rise of total SO2 (0 to 1000 mg/L) in a volume, and the rise that units bring.
absl::StatusOr<double> UnitsForRise(const SulfiteMaterial& material, double rise_mg_l,
                                    double volume_l);
absl::StatusOr<double> RiseOfUnits(const SulfiteMaterial& material, double units, double volume_l);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_SULFITE_H_

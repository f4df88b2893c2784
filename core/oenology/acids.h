#ifndef RUNDLET_CORE_OENOLOGY_ACIDS_H_
#define RUNDLET_CORE_OENOLOGY_ACIDS_H_

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

// Titratable acidity and what moves it. TA is in g/L of tartaric acid unless the name says else.
namespace rundlet::oenology {

extern const Equation kAcidEquivalents;
extern const Equation kTitration;
extern const Equation kAcidAddition;
extern const Equation kDeacidification;
extern const Equation kPhShift;

enum class Acid { kTartaric, kSulfuric, kMalic, kCitric, kLactic, kAcetic };
absl::string_view AcidName(Acid acid);
// g that carry one mole of acid protons.
double EquivalentMass(Acid acid);

// An acidity, 0 to 100 g/L as `from`, expressed as `to`.
absl::StatusOr<double> ConvertAcidity(double acidity_g_l, Acid from, Acid to);
// meq/L of an acidity in g/L.
absl::StatusOr<double> AcidityMeqL(double acidity_g_l, Acid acid);

// g/L as `as` of a sample (1 to 250 mL) that took `base_ml` (0 to 250) of a base of normality
// 0.005 to 2.
absl::StatusOr<double> AcidityFromTitration(double base_ml, double normality, double sample_ml,
                                            Acid as);

// g of an acid (tartaric, malic, citric, lactic) for a rise of TA by 0 to 20 g/L in a volume. The
// rise of TA per g/L is 1.00, 1.12, 1.17, 0.83: potassium bitartrate that falls out later is not
// counted (it takes away half of what tartaric acid gave).
absl::StatusOr<double> AcidForRise(Acid acid, double rise_g_l, double volume_l);
absl::StatusOr<double> RiseOfAcid(Acid acid, double mass_g, double volume_l);

enum class Carbonate { kPotassiumBicarbonate, kPotassiumCarbonate, kCalciumCarbonate };
absl::string_view CarbonateName(Carbonate carbonate);

// g of a carbonate for a fall of TA by 0 to 20 g/L. With `bitartrate_falls` the potassium falls out
// in full as bitartrate, which takes as much acid again; calcium takes the same either way.
absl::StatusOr<double> CarbonateForDrop(Carbonate carbonate, double drop_g_l, double volume_l,
                                        bool bitartrate_falls);
absl::StatusOr<double> DropOfCarbonate(Carbonate carbonate, double mass_g, double volume_l,
                                       bool bitartrate_falls);

// What a wine takes up for a step of one pH, meq/L: between 30 and 60, 45 for want of better.
inline constexpr double kUsualBufferMeq = 45;

// A rough guess at the change of pH: equivalents that dissociate, over the buffer capacity (10 to
// 150 meq/L per pH). Negative for acids. Half of it may be wrong: a bench trial decides.
absl::StatusOr<double> PhShiftOfAcid(Acid acid, double added_g_l, double ph, double buffer_meq);
absl::StatusOr<double> PhShiftOfCarbonate(Carbonate carbonate, double added_g_l, double buffer_meq);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ACIDS_H_

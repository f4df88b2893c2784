#ifndef RUNDLET_CORE_OENOLOGY_VESSEL_VOLUME_H_
#define RUNDLET_CORE_OENOLOGY_VESSEL_VOLUME_H_

#include <cstdint>

#include "absl/status/statusor.h"
#include "core/oenology/equation.h"

namespace rundlet::oenology {

// What vessels hold, from inner measures in cm; volumes in L. Lengths 1 to 5000 cm.
extern const Equation kUprightCylinder;
extern const Equation kLyingCylinder;
extern const Equation kBarrelParabola;
extern const Equation kBarrelEllipse;
extern const Equation kBarrelMeanDiameter;
extern const Equation kBarrelPart;
extern const Equation kBottles;
extern const Equation kHeadspaceOxygen;

// A cylinder with flat ends, filled to `depth_cm`, which may not be above it.
absl::StatusOr<double> UprightCylinderL(double diameter_cm, double depth_cm);
absl::StatusOr<double> LyingCylinderL(double diameter_cm, double length_cm, double depth_cm);

// A barrel by its inner measures: diameter at the bung, diameter of the heads, length between them.
struct BarrelMeasures {
  double bung_cm = 0;  // the widest
  double head_cm = 0;  // not above the bung's, nor below a third of it
  double length_cm = 0;
};
// Three shapes of stave, three volumes: the spread is what the formula leaves open.
struct BarrelVolume {
  double parabola_l = 0;       // staves that follow a parabola
  double ellipse_l = 0;        // an ellipse: the common formula
  double mean_diameter_l = 0;  // a cylinder of the bung diameter less a third of the difference
};
absl::StatusOr<BarrelVolume> BarrelVolumeOf(const BarrelMeasures& barrel);

// A lying barrel with the bung up, wine standing `depth_cm` deep below the bung, staves as a
// parabola.
absl::StatusOr<double> LyingBarrelL(const BarrelMeasures& barrel, double depth_cm);

// Whole bottles from a volume, and what is left over in L. Volume to 1e7 L, bottle 20 to 20,000 mL.
struct Bottles {
  int64_t count = 0;
  double rest_l = 0;
};
absl::StatusOr<Bottles> BottlesOf(double volume_l, double bottle_ml);

// Oxygen in mg in that much air (L) above a wine at 20 C and 101.325 kPa.
absl::StatusOr<double> HeadspaceOxygenMg(double headspace_l);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_VESSEL_VOLUME_H_

#include "core/oenology/vessel_volume.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "absl/strings/str_format.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

using std::numbers::pi;

absl::Status CheckLength(absl::string_view name, double cm) {
  return CheckRange(name, cm, 1, 5000, "cm");
}

absl::Status Check(const BarrelMeasures& b) {
  if (absl::Status s = FirstError(
          {CheckLength("diameter of the heads", b.head_cm), CheckLength("length", b.length_cm)});
      !s.ok()) {
    return s;
  }
  if (b.bung_cm < b.head_cm && b.head_cm <= 3 * b.bung_cm) {
    return absl::OutOfRangeError(absl::StrFormat(
        "diameter at the bung %g cm is outside %g to %g cm, for a barrel is widest at the bung and "
        "the heads have %g cm: were the two swapped?",
        b.bung_cm, b.head_cm, 3 * b.head_cm, b.head_cm));
  }
  // By the heads, so that a slipped point is seen: no cask bulges to three times its head.
  return CheckRange("diameter at the bung", b.bung_cm, b.head_cm, 3 * b.head_cm, "cm");
}

// The part of a circle below a level, in cm2.
double Segment(double radius, double depth) {
  const double h = std::clamp(depth, 0.0, 2 * radius);
  const double side = std::sqrt(std::max(0.0, 2 * radius * h - h * h));
  return radius * radius * std::acos(std::clamp((radius - h) / radius, -1.0, 1.0)) -
         (radius - h) * side;
}

}  // namespace

constexpr Equation kUprightCylinder = {"cylinder-upright",
                                       "Upright cylinder, filled to a depth",
                                       "V = pi d^2 h / 4000, L, cm",
                                       "1 to 5000 cm, flat bottom",
                                       "that of the measures",
                                       "geometry",
                                       Standing::kDerived};

constexpr Equation kLyingCylinder = {
    "cylinder-lying",
    "Lying cylinder with flat heads, filled to a depth",
    "V = L (r^2 acos((r - h)/r) - (r - h) sqrt(2 r h - h^2)) / 1000, L, cm",
    "1 to 5000 cm, flat heads",
    "that of the measures; bulging heads hold more",
    "geometry",
    Standing::kDerived};

constexpr Equation kBarrelParabola = {
    "barrel-parabola",
    "Barrel by its measures, staves as a parabola",
    "V = pi L (8 D^2 + 4 D d + 3 d^2) / 60000, L, cm; D at the bung, d at the heads",
    "inner measures, d not above D",
    "2 %, our judgement: staves follow neither curve exactly",
    "geometry; the same on a page of geometry",
    Standing::kDerived};

constexpr Equation kBarrelEllipse = {
    "barrel-ellipse",
    "Barrel by its measures, the common formula",
    "V = pi L (2 D^2 + d^2) / 12000, L, cm; exact for staves that follow an ellipse",
    "inner measures, d not above D",
    "2 %, our judgement",
    "geometry; the same on several pages of geometry",
    Standing::kDerived};

constexpr Equation kBarrelMeanDiameter = {
    "barrel-mean",
    "Barrel by its measures, as a cylinder of a mean diameter",
    "V = pi L (D - (D - d)/3)^2 / 4000, L, cm",
    "inner measures, d not above D",
    "2 %, our judgement",
    "a page on gauging, which names it the Swiss way",
    Standing::kSecondHand};

constexpr Equation kBarrelPart = {
    "barrel-part",
    "Lying barrel, partly full",
    "the parts of the round sections below the level, summed along the barrel (Simpson, 200 steps)",
    "inner measures, bung up",
    "that of the barrel's volume",
    "geometry",
    Standing::kDerived};

constexpr Equation kBottles = {
    "bottles",         "Bottles from a volume",         "n = floor(V / v)",
    "to 10,000,000 L", "losses at filling come on top", "arithmetic",
    Standing::kDerived};

constexpr Equation kHeadspaceOxygen = {"headspace-oxygen",
                                       "Oxygen in the air above a wine",
                                       "m = 0.2095 x 31.998 / 24.055 = 0.279 mg per mL",
                                       "20 C, 101.325 kPa, dry air",
                                       "2 %",
                                       "composition of air and an ideal gas",
                                       Standing::kDerived};

absl::StatusOr<double> UprightCylinderL(double diameter_cm, double depth_cm) {
  if (absl::Status s = FirstError(
          {CheckLength("diameter", diameter_cm), CheckRange("depth", depth_cm, 0, 5000, "cm")});
      !s.ok()) {
    return s;
  }
  return pi * diameter_cm * diameter_cm * depth_cm / 4000;
}

absl::StatusOr<double> LyingCylinderL(double diameter_cm, double length_cm, double depth_cm) {
  if (absl::Status s =
          FirstError({CheckLength("diameter", diameter_cm), CheckLength("length", length_cm),
                      CheckRange("depth", depth_cm, 0, diameter_cm, "cm")});
      !s.ok()) {
    return s;
  }
  return length_cm * Segment(diameter_cm / 2, depth_cm) / 1000;
}

absl::StatusOr<BarrelVolume> BarrelVolumeOf(const BarrelMeasures& barrel) {
  if (absl::Status s = Check(barrel); !s.ok()) return s;
  const double bung = barrel.bung_cm;
  const double head = barrel.head_cm;
  const double mean = bung - (bung - head) / 3;
  const double scale = pi * barrel.length_cm / 1000;
  return BarrelVolume{
      .parabola_l = scale * (8 * bung * bung + 4 * bung * head + 3 * head * head) / 60,
      .ellipse_l = scale * (2 * bung * bung + head * head) / 12,
      .mean_diameter_l = scale * mean * mean / 4};
}

absl::StatusOr<double> LyingBarrelL(const BarrelMeasures& barrel, double depth_cm) {
  if (absl::Status s =
          FirstError({Check(barrel), CheckRange("depth", depth_cm, 0, barrel.bung_cm, "cm")});
      !s.ok()) {
    return s;
  }
  constexpr int kSteps = 200;
  double sum = 0;
  for (int i = 0; i <= kSteps; ++i) {
    const double along = 2.0 * i / kSteps - 1;  // -1 at one head, 1 at the other
    const double narrower = (barrel.bung_cm - barrel.head_cm) / 2 * along * along;
    const double weight = i == 0 || i == kSteps ? 1 : i % 2 == 1 ? 4 : 2;
    sum += weight * Segment(barrel.bung_cm / 2 - narrower, depth_cm - narrower);
  }
  return sum * barrel.length_cm / (3.0 * kSteps) / 1000;
}

absl::StatusOr<Bottles> BottlesOf(double volume_l, double bottle_ml) {
  if (absl::Status s = FirstError({CheckRange("volume", volume_l, 0, 1e7, "L"),
                                   CheckRange("bottle", bottle_ml, 20, 20000, "mL")});
      !s.ok()) {
    return s;
  }
  // A volume that is a whole number of bottles must not lose one to binary fractions.
  const double count = std::floor(volume_l * 1000 / bottle_ml + 1e-9);
  return Bottles{.count = static_cast<int64_t>(count),
                 .rest_l = std::max(0.0, volume_l - count * bottle_ml / 1000)};
}

absl::StatusOr<double> HeadspaceOxygenMg(double headspace_l) {
  if (absl::Status s = CheckRange("headspace", headspace_l, 0, 1e6, "L"); !s.ok()) return s;
  return headspace_l * 0.2095 * 31.998 / 24.055 * 1000;
}

}  // namespace rundlet::oenology

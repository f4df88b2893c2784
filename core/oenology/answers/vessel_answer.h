#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_VESSEL_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_VESSEL_ANSWER_H_

#include <optional>

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/vessel_volume.h"

namespace rundlet::oenology {

// Wine in a cylinder, and the headspace above it. Inner measures in cm.
absl::StatusOr<Answer> AnswerUprightCylinder(double diameter_cm, double height_cm, double depth_cm);
absl::StatusOr<Answer> AnswerLyingCylinder(double diameter_cm, double length_cm, double depth_cm);

// What a barrel holds, by three formulas side by side; with a depth, what is in it.
absl::StatusOr<Answer> AnswerBarrel(const BarrelMeasures& barrel,
                                    std::optional<double> depth_cm = std::nullopt);

// Whole bottles.
absl::StatusOr<Answer> AnswerBottles(double volume_l, double bottle_ml = 750);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_VESSEL_ANSWER_H_

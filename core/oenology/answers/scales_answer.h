#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_SCALES_ANSWER_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_SCALES_ANSWER_H_

#include "absl/status/statusor.h"
#include "core/oenology/answer.h"
#include "core/oenology/scales.h"

namespace rundlet::oenology {

// One reading on any scale, at 20 C, on all of them. Sugar is given twice: for a pure solution and
// for grape must; a scale that does not reach so far is left out, and a warning says so.
absl::StatusOr<Answer> AnswerScales(Scale scale, double value,
                                    BaumeModulus modulus = BaumeModulus::kUs145);

// Potential alcohol of a grape must from a reading on any scale: 16.83 g/L per cent first, then the
// other conventions.
absl::StatusOr<Answer> AnswerPotentialAlcohol(Scale scale, double value,
                                              BaumeModulus modulus = BaumeModulus::kUs145);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_SCALES_ANSWER_H_

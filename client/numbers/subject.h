#ifndef RUNDLET_CLIENT_NUMBERS_SUBJECT_H_
#define RUNDLET_CLIENT_NUMBERS_SUBJECT_H_

#include <vector>

#include "absl/status/statusor.h"
#include "client/numbers/inputs.h"
#include "core/oenology/answer.h"

namespace rundlet::client {

// One thing that `rundlet reckon` works out: pure calculation, no cellar needed.
struct Subject {
  const char* word;   // "hydrometer"
  const char* about;  // one line
  std::vector<Input> inputs;
  absl::StatusOr<oenology::Answer> (*reckon)(const Values&);
};

// All subjects, in the order in which they are listed. Each part of the list has a file of its own.
const std::vector<Subject>& AllSubjects();

std::vector<Subject> DensitySubjects();
std::vector<Subject> StrengthSubjects();
std::vector<Subject> ChemistrySubjects();
std::vector<Subject> CellarSubjects();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_NUMBERS_SUBJECT_H_

#ifndef RUNDLET_CORE_OENOLOGY_EQUATION_H_
#define RUNDLET_CORE_OENOLOGY_EQUATION_H_

#include <string>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::oenology {

// How a figure was come by. Whoever shows a figure that nobody read in its source says so.
enum class Standing {
  kRead,        // seen in the source named
  kSecondHand,  // seen in a text about the source, or in an older edition of it
  kMemory,      // recalled, not seen
  kDerived,     // our own arithmetic from what other rows state
  kPractice,    // common practice, no source
};

// For people: "read in the source", "from memory: check it before you rely on it" ...
absl::string_view StandingWords(Standing standing);

// One relation that the numbers of this directory rest on: what --explain prints and
// docs/oenology.md lists. Constant data with static lifetime; compare by address.
struct Equation {
  absl::string_view id;       // "molecular-so2"; lower case, unique
  absl::string_view name;     // "Molecular SO2 from free SO2 and pH"
  absl::string_view formula;  // one line, units stated
  absl::string_view range;    // where it holds, in words
  absl::string_view error;    // what to expect of it, in words; "not stated" where no source says
  absl::string_view source;   // publication and place in it
  Standing standing;
};

// All of them, by topic. The text of docs/oenology.md is kept equal to it by a test.
absl::Span<const Equation* const> AllEquations();

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_EQUATION_H_

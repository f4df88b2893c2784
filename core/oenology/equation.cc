#include "core/oenology/equation.h"

namespace rundlet::oenology {

absl::string_view StandingWords(Standing standing) {
  switch (standing) {
    case Standing::kRead:
      return "read in the source";
    case Standing::kSecondHand:
      return "read in a text about the source or an older edition";
    case Standing::kMemory:
      return "from memory: check it before you rely on it";
    case Standing::kDerived:
      return "our own arithmetic from published figures";
    case Standing::kPractice:
      return "common practice, no source";
  }
  return "unknown";
}

}  // namespace rundlet::oenology

#ifndef RUNDLET_TESTS_FUZZ_FOLD_INPUT_H_
#define RUNDLET_TESTS_FUZZ_FOLD_INPUT_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::testing {

// A journal as bytes from a stranger: entries one after the other, each behind its length in two
// bytes, the lower first. What is cut off at the end counts as far as it goes.
std::string JoinEntries(const std::vector<std::string>& entries);
std::vector<std::string> SplitEntries(absl::string_view input);

// Reads each entry, folds whatever can be read, in the order given and in reverse, and checks that
// all invariants hold and both come to the same digest. Internal, with what is wrong, if not.
struct FoldedInput {
  absl::Status status;
  size_t read = 0;   // entries that could be read
  size_t moved = 0;  // movements that they made
};
FoldedInput FoldInput(absl::string_view input);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FUZZ_FOLD_INPUT_H_

#ifndef RUNDLET_CLIENT_CLI_NEAR_H_
#define RUNDLET_CLIENT_CLI_NEAR_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::client {

// "a, b or c": `between` stands before all but the first and the last, `before_last` before the
// last.
std::string Enumerate(const std::vector<std::string>& words, absl::string_view between = ", ",
                      absl::string_view before_last = " or ");

// Those of `words` that a slip of the keyboard may have meant by `word`, enumerated; empty if none
// is near.
std::string NearWords(const std::vector<std::string>& words, absl::string_view word);

// Two sentences one after the other, with a full stop between where the first has no mark at its
// end.
std::string Sentences(absl::string_view first, absl::string_view second);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_NEAR_H_

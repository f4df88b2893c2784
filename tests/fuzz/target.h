#ifndef RUNDLET_TESTS_FUZZ_TARGET_H_
#define RUNDLET_TESTS_FUZZ_TARGET_H_

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet::testing {

// What a fuzz target is: bytes of a stranger go to a reader, and its promises are held to. A file
// named *_target.cc defines it; one program has one.
//
//   libfuzzer_main.cc  makes a libFuzzer of it (scripts/fuzz)
//   corpus_main.cc     gives it each file of its corpus, in every run of the tests
//
// Returns OK whatever the bytes are; Internal, with what was promised and what came, where a
// promise does not hold.
absl::Status TryInput(absl::string_view input);

// OK where it holds; else Internal with what was promised, and what came, in readable bytes.
absl::Status Promise(bool holds, absl::string_view promise, absl::string_view got);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FUZZ_TARGET_H_

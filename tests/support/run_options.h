#ifndef RUNDLET_TESTS_SUPPORT_RUN_OPTIONS_H_
#define RUNDLET_TESTS_SUPPORT_RUN_OPTIONS_H_

#include <cstdint>
#include <cstdlib>

#include "absl/strings/numbers.h"
#include "absl/strings/string_view.h"

// What the environment says about tests with random input: RUNDLET_SEED, where to begin, and
// RUNDLET_RUNS, how many cases to try. Without them a test tries the same cases every time.
namespace rundlet::testing {

inline uint64_t NumberFromEnvironment(const char* name, uint64_t otherwise) {
  const char* text = std::getenv(name);
  uint64_t number = 0;
  return text != nullptr && absl::SimpleAtoi(absl::string_view(text), &number) ? number : otherwise;
}

inline uint64_t FirstSeed() { return NumberFromEnvironment("RUNDLET_SEED", 1); }
inline uint64_t Runs(uint64_t otherwise) {
  return NumberFromEnvironment("RUNDLET_RUNS", otherwise);
}

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_RUN_OPTIONS_H_

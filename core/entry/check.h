#ifndef RUNDLET_CORE_ENTRY_CHECK_H_
#define RUNDLET_CORE_ENTRY_CHECK_H_

#include <cstdint>
#include <string>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"

namespace rundlet {

// Collects the first thing that is wrong with an entry, so that the checks of each kind read as a
// list of what must hold. All later checks are ignored once one has failed.
class Checker {
 public:
  explicit Checker(absl::string_view kind) : kind_(kind) {}

  // `what` ends the sentence "a racking needs ...".
  void Need(bool holds, absl::string_view what);
  void NeedId(absl::string_view id, absl::string_view what);
  void OptionalId(absl::string_view id, absl::string_view what);
  // 1 <= value <= most.
  void NeedAmount(int64_t value, int64_t most, absl::string_view what);
  void AtMost(int64_t value, int64_t most, absl::string_view what);

  const absl::Status& status() const { return status_; }

 private:
  std::string kind_;
  absl::Status status_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_CHECK_H_

#ifndef RUNDLET_CLIENT_CELLAR_STANDPOINT_H_
#define RUNDLET_CLIENT_CELLAR_STANDPOINT_H_

#include <cstdint>
#include <memory>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// From where in time the book is looked at. Both moments are microseconds since 1970, and what lies
// on them is seen.
struct Standpoint {
  int64_t happened_us = INT64_MAX;  // only what happened until then ...
  int64_t known_us = INT64_MAX;     // ... by what was known then

  bool is_now() const { return happened_us == INT64_MAX && known_us == INT64_MAX; }
};

// When the cellar got to know an entry, the same on every device: when the server took it in; while
// it has not, when it was written, by the clock of the device.
int64_t KnownSinceUs(const StoredEntry& stored, const v1::Entry& entry);

// Folds those entries of a store that `wanted` wants. Damaged, returned and unreadable ones are
// left out, as they were when the cellar was opened.
using Wanted = absl::FunctionRef<bool(const StoredEntry& stored, const v1::Entry& entry)>;
absl::StatusOr<std::unique_ptr<Fold>> FoldOf(Store& store, Wanted wanted);

// Puts the book as it is seen from there in the place of the cellar's.
//
// What was known then: all entries that the cellar knew, whatever they are dated; the fold is the
// one that every device had made of them.
// What happened until then: the entries dated until then that count by what is known. An entry that
// was voided or amended since is not there, and the amendment is where it is dated until then. A
// thing that was registered later, or renamed, is known by what was said until then; by its
// registration where an entry names it that is dated before.
absl::Status LookFrom(const Standpoint& standpoint, Cellar& cellar);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_STANDPOINT_H_

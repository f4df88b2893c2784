#ifndef RUNDLET_CLIENT_CELLAR_SNAPSHOT_FILE_H_
#define RUNDLET_CLIENT_CELLAR_SNAPSHOT_FILE_H_

#include <cstdint>
#include <memory>
#include <string>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"
#include "core/fold/snapshot.h"

namespace rundlet::client {

// A file in memory: private, so that writing there leaves the file as it is. Unmapped at the end.
class Mapping {
 public:
  // NotFound if there is no such file.
  static absl::StatusOr<Mapping> Open(const std::string& path);
  ~Mapping();
  Mapping(Mapping&& other) noexcept : bytes_(other.bytes_) { other.bytes_ = {}; }
  Mapping& operator=(Mapping&&) = delete;

  absl::Span<char> bytes() const { return bytes_; }

 private:
  explicit Mapping(absl::Span<char> bytes) : bytes_(bytes) {}
  absl::Span<char> bytes_;
};

// Which entries of a store a snapshot holds: those with local numbers up to `local_no`, as the
// store was in its `generation`. The hash of the last of them tells it from the snapshot of another
// store that happens to have the same numbers: one that was lost, or put back from a copy.
struct SnapshotStamp {
  int64_t generation = 0;
  int64_t local_no = 0;
  Hash last_hash = {};
};

struct LoadedSnapshot {
  Mapping mapping;  // outlives the fold
  std::unique_ptr<Fold> fold;
  SnapshotStamp stamp;
};

// The snapshot in a file, checked as far as `verify` says. An error of any kind means that there is
// none of use.
absl::StatusOr<LoadedSnapshot> LoadSnapshot(const std::string& path, Snapshot::Verify verify);

// Writes one, in the place of the one before, which is whole until then. Failing costs time only.
absl::Status SaveSnapshot(const Fold& fold, const SnapshotStamp& stamp, const std::string& path);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_SNAPSHOT_FILE_H_

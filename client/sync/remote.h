#ifndef RUNDLET_CLIENT_SYNC_REMOTE_H_
#define RUNDLET_CLIENT_SYNC_REMOTE_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "client/store/store.h"
#include "client/store/sync_store.h"

namespace rundlet::client {

// The server, as far as a sync needs it.
//
// Unauthenticated and PermissionDenied: it does not take us. Unavailable, DeadlineExceeded,
// ResourceExhausted, Aborted: not now; nothing was decided, try again later. Anything else is a
// defect of one side or the other.
class Remote {
 public:
  virtual ~Remote() = default;

  // Who the server takes us for. Of the device, everything but `server`.
  struct Who {
    Device device;
    uint64_t last_device_seq = 0;  // the highest running number that it has of this device
    std::string public_key;        // by which it expects this device to sign; empty: none
  };
  virtual absl::StatusOr<Who> GetDevice() = 0;

  // The answers to entries, in their order. `signature` is the device's, over all of them
  // (core/evidence/seal.h).
  virtual absl::StatusOr<std::vector<PushAnswer>> Push(absl::Span<const StoredEntry> entries,
                                                       const std::string& signature) = 0;

  // From now on a pull says for how long the oldest entry of the outbox has waited, so that who
  // keeps the server sees a device that cannot get rid of something. 0: none waits.
  virtual void TellOldestWaiting(int64_t) {}

  struct Page {
    std::vector<PulledRow> rows;
    uint64_t journal_size = 0;
    std::vector<v1::Seal> seals;  // whose last place is among the rows
  };
  virtual absl::StatusOr<Page> Pull(uint64_t after_seq) = 0;

  // What the server signs of the first `size` entries of its journal. Unimplemented or
  // FailedPrecondition: it signs nothing.
  struct Signed {
    std::string note;  // see core/evidence/checkpoint.h
    std::string key;
  };
  virtual absl::StatusOr<Signed> GetCheckpoint(uint64_t size) = 0;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_REMOTE_H_

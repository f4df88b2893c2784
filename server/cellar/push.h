#ifndef RUNDLET_SERVER_CELLAR_PUSH_H_
#define RUNDLET_SERVER_CELLAR_PUSH_H_

#include <functional>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "rundlet/v1/cellar_service.pb.h"
#include "rundlet/v1/entry.pb.h"
#include "server/cellar/loaded_cellar.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// An entry of a push on its way through the checks.
struct PushedEntry {
  absl::string_view bytes;  // the caller's, until the push is done
  Hash leaf_hash = {};
  Uuid entry_id;
  v1::Entry entry;
  // What the device is told. Unspecified while it is not decided.
  v1::Disposition disposition;
  bool decided_alone = false;  // by CheckAlone, so that no cellar changes it

  // Not taken in, and why.
  void Return(v1::ReturnReason reason, absl::string_view message);

  bool decided() const { return disposition.kind() != v1::DISPOSITION_KIND_UNSPECIFIED; }
  // Undoes what a failed batch decided.
  void Reopen() {
    if (!decided_alone) disposition.Clear();
  }
};

// The outcome of a push: a disposition for each entry, in its order.
struct PushResult {
  std::vector<v1::Disposition> dispositions;
  uint64_t journal_size = 0;
};

struct Push {
  Device device;  // as it was when the push came in; brought up to now before it is judged
  std::vector<PushedEntry> entries;
  std::string signature;  // over all entries, by the device's key; verified
  size_t bytes = 0;       // that the entries take in memory
  // Why nothing of it was decided, though its batch was written.
  absl::Status refused;
  absl::Time deadline = absl::InfiniteFuture();
  // Asked before the push is begun: whether nobody waits for it any more.
  std::function<bool()> abandoned = [] { return false; };
  // Called once, by any thread. An error, such as `refused`, means that nothing was decided.
  std::function<void(absl::StatusOr<PushResult>)> done;
};

// The checks that need nothing but the entry and the device that pushes it: size, form, cellar,
// device. Decides the entry if it fails one. Costs the parsing and hashing of the bytes; do it
// before the cellar's turn comes. `sha` is reused between calls.
PushedEntry CheckAlone(const Device& device, absl::string_view bytes, Sha256& sha);

// The checks that need the cellar at its present size: whether the entry, or its number, is there
// already, and its place in the device's chain; and author, right and closed periods, which come
// after those so that what was once recorded is answered so for ever. Decides the entry if it fails
// one or is there already. If it passes, the entry is to be recorded next.
void CheckInCellar(const Device& device, const LoadedCellar& cellar, PushedEntry& pushed);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_PUSH_H_

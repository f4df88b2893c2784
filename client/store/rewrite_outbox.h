#ifndef RUNDLET_CLIENT_STORE_REWRITE_OUTBOX_H_
#define RUNDLET_CLIENT_STORE_REWRITE_OUTBOX_H_

#include <cstdint>
#include <utility>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "client/store/rewriter.h"
#include "client/store/store.h"

namespace rundlet::client {

// What the journal of a cellar has already, as far as a device that comes in has to know.
struct KnownInJournal {
  absl::flat_hash_map<Uuid, Place> entries;  // by id: their places
  ChainHead own;                             // the last entry of the device that comes in
};

// A book that becomes that of another device, of its own cellar or of the one that it joins.
struct Rewriting {
  Device device;  // who writes here from now on
  KnownInJournal journal;
  // What the device says of itself before anything else, and after it; with ids.
  std::vector<std::pair<Uuid, v1::Entry>> first, last;
};

struct RewriteCounts {
  int64_t rewritten = 0;
  int64_t in_journal = 0;  // they were there already
};

// Writes everything that waits to be synced anew for the book's new device, in one transaction:
// killed at any point, the old book is there or the new one. Ids, bodies and times stay. An entry
// that the journal has already leaves the outbox, and comes back with the next pull. So does what
// an old key said of itself (device_enrolled): `first` says it anew. Returned entries stay as they
// are. Whoever calls holds the writer's and the sync's lock.
//
// FailedPrecondition, and nothing changes: the book has entries of another cellar's journal.
// DataLoss, the same: an entry that waits is damaged. Unimplemented: it is of a newer Rundlet.
absl::StatusOr<RewriteCounts> RewriteOutbox(const StoreHome& home, const Rewriting& rewriting);

// FailedPrecondition, with what to do, if the book cannot become one of this cellar.
absl::Status CheckMayBecome(Store& store, const Uuid& cellar_id);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_REWRITE_OUTBOX_H_

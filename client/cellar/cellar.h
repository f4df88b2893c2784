#ifndef RUNDLET_CLIENT_CELLAR_CELLAR_H_
#define RUNDLET_CLIENT_CELLAR_CELLAR_H_

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/snapshot_file.h"
#include "client/store/store.h"
#include "core/fold/fold.h"

namespace rundlet::client {

// A device's book and what follows from it.
struct Cellar {
  Store store;
  std::optional<Mapping> snapshot;  // on which the fold stands, if it does
  std::unique_ptr<Fold> fold;       // of all entries that are in the outbox or recorded
  // What could not be read, a sentence each. The rest of the book is as good as ever.
  std::vector<std::string> damage;
};

// Opens the store and folds its entries: from the snapshot on, where there is one of use; where
// much has come since, a new one is left behind. NotFound when no cellar was joined here; otherwise
// the errors of Store.
//
// A snapshot spares folding the whole book. Checking every byte of it takes longer than most
// commands should, so they check what every answer hangs on; `rundlet sync` checks all of it,
// and a snapshot that is damaged is made anew.
absl::StatusOr<Cellar> OpenCellar(const StoreHome& home,
                                  Snapshot::Verify verify = Snapshot::Verify::kHeads);

// An entry's message, read from its bytes also where its kind is newer than this build.
// InvalidArgument if it cannot be one.
absl::StatusOr<v1::Entry> ReadEntry(absl::string_view bytes);

// The entry of a row of the fold, from the store.
absl::StatusOr<v1::Entry> EntryOfRow(Cellar& cellar, RowId row);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_CELLAR_H_

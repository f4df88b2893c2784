#ifndef RUNDLET_SERVER_SERVICE_READ_ENTRIES_H_
#define RUNDLET_SERVER_SERVICE_READ_ENTRIES_H_

#include <vector>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// Entries of a fold, read from their bytes in the journal, for what the fold does not keep. `fold`
// is of the transaction's cellar, as LoadedCellar has it.

// The entries at positions of the fold's order, in the order of `positions`.
absl::StatusOr<std::vector<v1::Entry>> ReadEntriesAt(CellarTransaction& transaction,
                                                     const Fold& fold,
                                                     absl::Span<const size_t> positions);

// NotFound: the fold has no entry of this id.
absl::StatusOr<v1::Entry> ReadEntryOf(CellarTransaction& transaction, const Fold& fold,
                                      const Uuid& entry_id);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_READ_ENTRIES_H_

#ifndef RUNDLET_SERVER_CELLAR_PROOFS_H_
#define RUNDLET_SERVER_CELLAR_PROOFS_H_

#include <cstdint>
#include <vector>

#include "absl/status/statusor.h"
#include "core/base/sha256.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// What the tree over a cellar's journal shows, read from its tiles: O(log size) rows.
// `journal_size` is what the journal has in this transaction; `size` may lie below it. OutOfRange
// where an index or a size is none of the journal's; DataLoss where the tree lacks a tile.

absl::StatusOr<Hash> ReadRoot(CellarTransaction& transaction, uint64_t size, uint64_t journal_size);
absl::StatusOr<std::vector<Hash>> ReadInclusionProof(CellarTransaction& transaction, uint64_t index,
                                                     uint64_t size, uint64_t journal_size);
absl::StatusOr<std::vector<Hash>> ReadConsistencyProof(CellarTransaction& transaction,
                                                       uint64_t old_size, uint64_t size,
                                                       uint64_t journal_size);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_PROOFS_H_

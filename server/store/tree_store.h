#ifndef RUNDLET_SERVER_STORE_TREE_STORE_H_
#define RUNDLET_SERVER_STORE_TREE_STORE_H_

#include <cstdint>
#include <map>
#include <pqxx/pqxx>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/evidence/tiles.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// The tree over the journal of a transaction's cellar: all SQL about it is here. Errors are as
// Guard maps them.
class TreeStore {
 public:
  static void Prepare(Statements& statements);

  explicit TreeStore(CellarTransaction& transaction) : tx_(transaction) {}

  // Writes finished tiles. Those that are there already stay as they are.
  absl::Status Append(absl::Span<const evidence::Tile> tiles);

  // How many tiles there are.
  absl::StatusOr<uint64_t> Count();

  // The hashes of tiles of a journal that has `size` entries; of a tile that is not finished, those
  // that it has so far.
  using Hashes = std::map<evidence::TileId, std::vector<Hash>>;
  absl::StatusOr<Hashes> Read(absl::Span<const evidence::TileId> tiles, uint64_t size);

 private:
  absl::Status ReadFinished(absl::Span<const evidence::TileId> tiles, Hashes& hashes);
  absl::Status ReadEdge(evidence::TileId tile, uint64_t size, Hashes& hashes);

  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_TREE_STORE_H_

#include "server/cellar/proofs.h"

#include <set>

#include "absl/functional/function_ref.h"
#include "absl/strings/str_cat.h"
#include "core/evidence/merkle.h"
#include "core/evidence/tiles.h"
#include "server/store/tree_store.h"

namespace rundlet::server {
namespace {

using evidence::NodeId;
using evidence::ReadNode;
using evidence::TileId;

// Reckons twice: first to see which tiles it takes, then with what was read of them in one go.
template <typename Result>
absl::StatusOr<Result> WithTiles(CellarTransaction& transaction, uint64_t journal_size,
                                 absl::FunctionRef<absl::StatusOr<Result>(ReadNode)> reckon) {
  std::set<TileId> wanted;
  const auto note = [&](NodeId node) -> absl::StatusOr<Hash> {
    wanted.insert(evidence::TileOf(node));
    return Hash{};
  };
  if (const absl::StatusOr<Result> tried = reckon(note); !tried.ok()) return tried.status();
  const std::vector<TileId> tiles(wanted.begin(), wanted.end());
  const auto hashes = TreeStore(transaction).Read(tiles, journal_size);
  if (!hashes.ok()) return hashes.status();
  Sha256 sha;
  return reckon([&](NodeId node) -> absl::StatusOr<Hash> {
    const auto tile = hashes->find(evidence::TileOf(node));
    if (tile == hashes->end())
      return absl::DataLossError("the tree over the journal lacks a part: rundletd rebuild");
    return evidence::NodeFromTile(sha, node, tile->second);
  });
}

absl::Status CheckSize(uint64_t size, uint64_t journal_size) {
  if (size <= journal_size) return absl::OkStatus();
  return absl::OutOfRangeError(
      absl::StrCat("the journal has ", journal_size, " entries, not ", size));
}

}  // namespace

absl::StatusOr<Hash> ReadRoot(CellarTransaction& transaction, uint64_t size,
                              uint64_t journal_size) {
  if (absl::Status status = CheckSize(size, journal_size); !status.ok()) return status;
  return WithTiles<Hash>(transaction, journal_size,
                         [&](ReadNode read) { return evidence::RootOf(size, read); });
}

absl::StatusOr<std::vector<Hash>> ReadInclusionProof(CellarTransaction& transaction, uint64_t index,
                                                     uint64_t size, uint64_t journal_size) {
  if (absl::Status status = CheckSize(size, journal_size); !status.ok()) return status;
  return WithTiles<std::vector<Hash>>(transaction, journal_size, [&](ReadNode read) {
    return evidence::InclusionProof(index, size, read);
  });
}

absl::StatusOr<std::vector<Hash>> ReadConsistencyProof(CellarTransaction& transaction,
                                                       uint64_t old_size, uint64_t size,
                                                       uint64_t journal_size) {
  if (absl::Status status = CheckSize(size, journal_size); !status.ok()) return status;
  return WithTiles<std::vector<Hash>>(transaction, journal_size, [&](ReadNode read) {
    return evidence::ConsistencyProof(old_size, size, read);
  });
}

}  // namespace rundlet::server

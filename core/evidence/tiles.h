#ifndef RUNDLET_CORE_EVIDENCE_TILES_H_
#define RUNDLET_CORE_EVIDENCE_TILES_H_

#include <cstdint>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/evidence/merkle.h"

namespace rundlet::evidence {

// The tree cut into pieces that are written once and never changed, so that a proof reads a few of
// them. A tile of level L holds the roots of sixteen perfect parts of 16^L leaves; it is finished,
// and kept, when all sixteen are. What is not finished at the end of a journal is known from the
// leaves, and from the roots of the tiles one level below.

inline constexpr int kTileWidth = 16;
inline constexpr int kTileBits = 4;  // levels of the tree in one of tiles

struct TileId {
  int level = 0;
  uint64_t index = 0;
  friend bool operator==(const TileId&, const TileId&) = default;
  friend auto operator<=>(const TileId&, const TileId&) = default;
};

// How many tiles of a level a journal of `size` has finished.
constexpr uint64_t FinishedTiles(uint64_t size, int level) {
  const int shift = kTileBits * (level + 1);
  return shift >= 64 ? 0 : size >> shift;
}

struct Tile {
  TileId id;
  std::vector<Hash> hashes;  // sixteen
  Hash root = {};
};

// Cuts a growing journal into tiles. Keeps what is not finished. Not safe to share between threads.
class TileCutter {
 public:
  uint64_t size() const { return size_; }
  // Tiles that the leaf finishes are added to `finished`, lower levels first.
  void Append(const Hash& leaf, std::vector<Tile>& finished);

 private:
  uint64_t size_ = 0;
  std::vector<std::vector<Hash>> open_;  // by level
  Sha256 sha_;
};

// The tile in which a node's hash is, or from whose hashes it is made.
TileId TileOf(NodeId node);
// A node out of its tile. DataLoss: the tile has not what it should.
absl::StatusOr<Hash> NodeFromTile(Sha256& sha, NodeId node, absl::Span<const Hash> tile);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_TILES_H_

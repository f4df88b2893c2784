#include "core/evidence/tiles.h"

#include "absl/strings/str_cat.h"

namespace rundlet::evidence {
namespace {

// The root over a power of two of hashes.
Hash RootOver(Sha256& sha, absl::Span<const Hash> hashes) {
  std::vector<Hash> level(hashes.begin(), hashes.end());
  for (size_t count = level.size(); count > 1; count /= 2) {
    for (size_t i = 0; i < count / 2; ++i) level[i] = HashNode(sha, level[2 * i], level[2 * i + 1]);
  }
  return level[0];
}

}  // namespace

void TileCutter::Append(const Hash& leaf, std::vector<Tile>& finished) {
  ++size_;
  Hash hash = leaf;
  for (size_t level = 0;; ++level) {
    if (open_.size() == level) open_.emplace_back();
    open_[level].push_back(hash);
    if (open_[level].size() < kTileWidth) return;
    hash = RootOver(sha_, open_[level]);
    const auto l = static_cast<int>(level);
    finished.push_back({.id = {.level = l, .index = FinishedTiles(size_, l) - 1},
                        .hashes = std::move(open_[level]),
                        .root = hash});
    open_[level].clear();
  }
}

TileId TileOf(NodeId node) {
  const int level = node.level / kTileBits;
  const int within = node.level % kTileBits;
  return {.level = level, .index = node.index >> (kTileBits - within)};
}

absl::StatusOr<Hash> NodeFromTile(Sha256& sha, NodeId node, absl::Span<const Hash> tile) {
  const int within = node.level % kTileBits;
  const size_t count = size_t{1} << within;
  const size_t first = (node.index << within) % kTileWidth;
  if (tile.size() < first + count)
    return absl::DataLossError(absl::StrCat("the tree over the journal lacks node ", node.index,
                                            " of level ", node.level));
  return RootOver(sha, tile.subspan(first, count));
}

}  // namespace rundlet::evidence

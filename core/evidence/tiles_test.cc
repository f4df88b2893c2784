// Goal: tiles hold the tree: every node of it can be had from them, at any length of the journal,
// and they are never written twice. Method: all nodes of trees up to 600 leaves against a plain
// reckoning level by level.
#include "core/evidence/tiles.h"

#include <map>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "gtest/gtest.h"

namespace rundlet::evidence {
namespace {

TEST(TilesTest, EveryNodeAtEveryLength) {
  constexpr uint64_t kLeaves = 600;
  Sha256 sha;
  std::vector<std::vector<Hash>> nodes(1);  // by level, all that are whole
  TileCutter cutter;
  std::map<TileId, Tile> kept;
  for (uint64_t size = 1; size <= kLeaves; ++size) {
    const Hash leaf = LeafHash(sha, absl::StrCat("entry ", size));
    nodes[0].push_back(leaf);
    for (size_t level = 0; nodes[level].size() % 2 == 0; ++level) {
      if (nodes.size() == level + 1) nodes.emplace_back();
      const std::vector<Hash>& below = nodes[level];
      nodes[level + 1].push_back(HashNode(sha, below[below.size() - 2], below.back()));
    }
    std::vector<Tile> finished;
    cutter.Append(leaf, finished);
    for (Tile& tile : finished) {
      EXPECT_EQ(tile.hashes.size(), kTileWidth);
      EXPECT_TRUE(kept.emplace(tile.id, tile).second) << "written twice";
    }
    if (size % 7 != 0 && size < kLeaves - 20) continue;
    // What a store would read: a finished tile, or at the end leaves and roots.
    const auto read = [&](TileId id) {
      if (id.index < FinishedTiles(size, id.level)) return kept.at(id).hashes;
      std::vector<Hash> edge;
      for (uint64_t i = id.index * kTileWidth;; ++i) {
        if (id.level == 0 ? i >= size : i >= FinishedTiles(size, id.level - 1)) return edge;
        edge.push_back(id.level == 0 ? nodes[0][i] : kept.at({id.level - 1, i}).root);
      }
    };
    for (size_t level = 0; level < nodes.size(); ++level) {
      for (uint64_t index = 0; index < nodes[level].size(); ++index) {
        const NodeId node{.level = static_cast<int>(level), .index = index};
        const auto hash = NodeFromTile(sha, node, read(TileOf(node)));
        ASSERT_TRUE(hash.ok()) << hash.status();
        ASSERT_EQ(*hash, nodes[level][index]) << level << " " << index << " of " << size;
      }
    }
    EXPECT_FALSE(NodeFromTile(sha, {.level = 0, .index = size}, read(TileOf({0, size}))).ok());
  }
  size_t all = 0;
  for (int level = 0; level < 4; ++level) all += FinishedTiles(kLeaves, level);
  EXPECT_EQ(kept.size(), all);
}

}  // namespace
}  // namespace rundlet::evidence

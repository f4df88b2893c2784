#include "server/store/tree_store.h"

#include <algorithm>
#include <stdexcept>
#include <string>

#include "server/pg/pq_status.h"
#include "server/store/pg_array.h"
#include "server/store/pg_value.h"

namespace rundlet::server {
namespace {

using evidence::FinishedTiles;
using evidence::kTileWidth;
using evidence::Tile;
using evidence::TileId;

constexpr size_t kHashSize = std::tuple_size_v<Hash>;

constexpr char kAppend[] = R"sql(
insert into rundlet.tree_tile (cellar_id, level, place, hashes, root)
select $1::uuid, u.level, u.place, u.hashes, u.root
from (select unnest($2::smallint[]) as level, unnest($3::bigint[]) as place,
             unnest($4::bytea[]) as hashes, unnest($5::bytea[]) as root) u
on conflict do nothing)sql";

std::vector<Hash> HashesFrom(const pqxx::field& field) {
  const std::string bytes = BytesFrom(field);
  if (bytes.size() % kHashSize != 0) throw std::runtime_error("hashes are not of 32 bytes");
  std::vector<Hash> hashes(bytes.size() / kHashSize);
  for (size_t i = 0; i < hashes.size(); ++i)
    std::copy_n(bytes.begin() + static_cast<std::ptrdiff_t>(i * kHashSize), kHashSize,
                hashes[i].begin());
  return hashes;
}

}  // namespace

void TreeStore::Prepare(Statements& statements) {
  statements.prepare("append_tiles", kAppend);
  statements.prepare("count_tiles", "select count(*) from rundlet.tree_tile where cellar_id = $1");
  statements.prepare(
      "read_tiles",
      "select t.level, t.place, t.hashes from (select unnest($2::smallint[]) as level,"
      " unnest($3::bigint[]) as place) u cross join lateral (select * from"
      " rundlet.tree_tile tile where tile.cellar_id = $1 and tile.level = u.level"
      " and tile.place = u.place limit 1) t");
  statements.prepare("read_roots",
                     "select root from rundlet.tree_tile where cellar_id = $1 and level = $2"
                     " and place >= $3 and place < $4 order by place");
  statements.prepare("read_leaves",
                     "select leaf_hash from rundlet.journal where cellar_id = $1 and seq > $2"
                     " and seq <= $3 order by seq");
}

absl::Status TreeStore::Append(absl::Span<const Tile> tiles) {
  if (tiles.empty()) return absl::OkStatus();
  PgArray levels(PgType::kInt2), places(PgType::kInt8), hashes(PgType::kBytes),
      roots(PgType::kBytes);
  for (const Tile& tile : tiles) {
    levels.AddInt(tile.id.level);
    places.AddInt(static_cast<int64_t>(tile.id.index));
    std::string bytes;
    for (const Hash& hash : tile.hashes) bytes.append(hash.begin(), hash.end());
    hashes.AddBytes(bytes);
    roots.AddBytes(HashBytes(tile.root));
  }
  return Guard("write the tree", [&] {
    tx_.work().exec_prepared("append_tiles", tx_.cellar(), levels.Parameter(), places.Parameter(),
                             hashes.Parameter(), roots.Parameter());
  });
}

absl::StatusOr<uint64_t> TreeStore::Count() {
  return Guard("count the tree's tiles", [&] {
    return tx_.work().exec_prepared1("count_tiles", tx_.cellar())[0].as<uint64_t>();
  });
}

absl::Status TreeStore::ReadFinished(absl::Span<const TileId> tiles, Hashes& hashes) {
  PgArray levels(PgType::kInt2), places(PgType::kInt8);
  for (const TileId& tile : tiles) {
    levels.AddInt(tile.level);
    places.AddInt(static_cast<int64_t>(tile.index));
  }
  return Guard("read the tree", [&] {
    for (const pqxx::row& row : tx_.work().exec_prepared("read_tiles", tx_.cellar(),
                                                         levels.Parameter(), places.Parameter())) {
      hashes[{.level = row[0].as<int>(), .index = row[1].as<uint64_t>()}] = HashesFrom(row[2]);
    }
  });
}

absl::Status TreeStore::ReadEdge(TileId tile, uint64_t size, Hashes& hashes) {
  return Guard("read the tree's edge", [&] {
    const uint64_t first = tile.index * kTileWidth;
    const pqxx::result rows =
        tile.level == 0
            ? tx_.work().exec_prepared("read_leaves", tx_.cellar(), first,
                                       std::min<uint64_t>(size, first + kTileWidth))
            : tx_.work().exec_prepared(
                  "read_roots", tx_.cellar(), tile.level - 1, first,
                  std::min<uint64_t>(FinishedTiles(size, tile.level - 1), first + kTileWidth));
    std::vector<Hash>& edge = hashes[tile];
    for (const pqxx::row& row : rows) {
      for (const Hash& hash : HashesFrom(row[0])) edge.push_back(hash);
    }
  });
}

absl::StatusOr<TreeStore::Hashes> TreeStore::Read(absl::Span<const TileId> tiles, uint64_t size) {
  Hashes hashes;
  std::vector<TileId> finished;
  for (const TileId& tile : tiles) {
    if (tile.index < FinishedTiles(size, tile.level)) {
      finished.push_back(tile);
    } else if (absl::Status status = ReadEdge(tile, size, hashes); !status.ok()) {
      return status;
    }
  }
  if (!finished.empty()) {
    if (absl::Status status = ReadFinished(finished, hashes); !status.ok()) return status;
  }
  return hashes;
}

}  // namespace rundlet::server

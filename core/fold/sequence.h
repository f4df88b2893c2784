#ifndef RUNDLET_CORE_FOLD_SEQUENCE_H_
#define RUNDLET_CORE_FOLD_SEQUENCE_H_

#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/types/span.h"
#include "core/base/uuid.h"
#include "core/fold/act.h"
#include "core/fold/ids.h"
#include "core/fold/interner.h"
#include "core/fold/log.h"

namespace rundlet {

// An entry as the fold keeps it. The exact bytes stay with whoever stores the journal.
struct Row {
  // Whether the entry counts. Void is for good; superseded can lift when the other amendment is
  // voided.
  enum class Standing : uint8_t { kCounts = 0, kVoid = 1, kSuperseded = 2 };

  Uuid id;
  int64_t effective_at_us = 0;
  uint64_t place_seq =
      0;  // the place in the order: own running number, or that of the entry it amends
  uint64_t device_seq = 0;
  Handle place_device = kNoHandle;
  Handle device = kNoHandle;
  Handle author = kNoHandle;
  uint32_t lines_at = 0;
  uint32_t voided_by = kNone;  // the row of a void or amendment that names this one
  uint16_t line_count = 0;
  int16_t utc_offset_min = 0;
  ActKind kind = ActKind::kUnknown;
  Standing standing = Standing::kCounts;
  uint8_t body = 0;  // field number of the entry's body
  bool amends = false;
  uint32_t padding = 0;
};
static_assert(sizeof(Row) == 72);

// The set of entries and their order: by (effective_at, device, running number), where an amendment
// stands at the place of what it amends. Which of them count - voids, amendments - depends on the
// set only, not on the order of arrival.
class Sequence {
 public:
  Sequence(Interner& interner, Commodities& commodities)
      : interner_(interner), commodities_(commodities) {}

  struct Inserted {
    RowId row = kNone;
    bool fresh = false;  // false: an entry of this id was here already, nothing changed
    // Rows besides this one whose standing changed by it, or which entry it is that voids them.
    absl::InlinedVector<RowId, 2> changed;
  };
  // `entry` has passed CheckEntry, or is of a kind that this build does not know. The row is not in
  // the order until Merge.
  // `known_new` spares the look-up of its id, for a caller who has just made it.
  Inserted Insert(const v1::Entry& entry, bool known_new = false);

  // The position that the first of the rows inserted since the last Merge will take; size() if
  // there are none.
  size_t FirstWaiting();
  // Takes them into the order.
  void Merge();

  size_t size() const { return order_.size(); }
  RowId at(size_t position) const { return order_[position]; }
  // Where a row stands in the order.
  size_t PositionOf(RowId row) const;
  // The first position at or after a time.
  size_t PositionOfTime(int64_t effective_at_us) const;

  size_t rows() const { return rows_.size(); }
  const Row& row(RowId row) const { return rows_[row]; }
  absl::Span<const Line> lines(const Row& row) const {
    return lines_.Slice(row.lines_at, row.line_count);
  }
  // The row of an entry, or kNone.
  RowId Find(const Uuid& entry_id) const;
  // Whether `a` comes before `b`.
  bool Before(RowId a, RowId b) const;

  const Interner& interner() const { return interner_; }
  const Commodities& commodities() const { return commodities_; }

 private:
  friend class SnapshotParts;

  struct PlaceKey {
    Handle device;
    uint64_t seq;
    friend bool operator==(const PlaceKey&, const PlaceKey&) = default;
    template <typename H>
    friend H AbslHashValue(H state, const PlaceKey& key) {
      return H::combine(std::move(state), key.device, key.seq);
    }
  };

  // Names `target` void because of `by`, now or when it arrives.
  void MarkVoid(const Uuid& target, RowId by, Inserted& inserted);
  // Of the amendments of one place that are not void, all but the one with the greatest id are
  // superseded.
  void SettlePlace(const PlaceKey& place, RowId newcomer, Inserted& inserted);

  Interner& interner_;
  Commodities& commodities_;
  Log<Row> rows_;
  Log<Line> lines_;
  Log<RowId> order_;
  std::vector<RowId> waiting_;  // inserted, not merged
  bool waiting_sorted_ = true;
  // Rows up to `indexed_` are in by_id_; the rest is indexed when somebody asks.
  mutable absl::flat_hash_map<Uuid, RowId> by_id_;
  mutable size_t indexed_ = 0;
  absl::flat_hash_map<Uuid, RowId> voided_;  // target -> first row that names it
  absl::flat_hash_map<PlaceKey, absl::InlinedVector<RowId, 2>> amendments_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_SEQUENCE_H_

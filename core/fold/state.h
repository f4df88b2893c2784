#ifndef RUNDLET_CORE_FOLD_STATE_H_
#define RUNDLET_CORE_FOLD_STATE_H_

#include <cstdint>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "core/fold/ids.h"
#include "core/fold/log.h"
#include "core/fold/mix.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

// The only thing that changes a quantity: an amount > 0 of one commodity from one place to another.
// One row names both ends, so the books balance by construction.
//
// The last two fields are links of the lists that State keeps, so that a trace finds its way
// without reading every movement; they are set when the movement is appended.
struct Movement {
  int64_t amount = 0;
  Commodity commodity = kWine;
  Place from;
  Place to;
  ParcelId from_parcel = kNone;
  ParcelId to_parcel = kNone;
  RowId row = kNone;
  uint32_t earlier_from = kNone;  // wine: the movement before it from the same parcel;
                                  // all else: the movement before it of the same commodity
  uint32_t earlier_to = kNone;    // the movement before it into the same parcel
};
static_assert(sizeof(Movement) == 40);

// A homogeneous quantity of wine with one history, as it was when it arose. Made by an entry, as
// that entry's `ordinal`-th.
struct Parcel {
  int64_t volume_ul = 0;
  RowId row = kNone;
  uint16_t ordinal = 0;
  // For an origin: the account it came from (source, addition, gain). 0: mixed in a vessel or
  // filled into glass.
  uint16_t origin = 0;
  // What was in the vessel before and went into it, also where that was doses waiting for wine.
  ParcelId before = kNone;
  Handle place =
      kNoHandle;  // the vessel or bottling that it arose in; for an added volume the material (lot)
  Handle lot = kNoHandle;
  uint32_t shares_at = 0;  // in State::shares: origins, then doses
  uint32_t origin_count = 0;
  uint32_t dose_count = 0;
  // Links, see Movement; kNone where there is none (yet).
  uint32_t last_from = kNone;     // the latest movement of wine from it
  uint32_t last_to = kNone;       // the latest movement into it
  ParcelId after = kNone;         // the parcel that names it as what was there before
  ParcelId earlier_here = kNone;  // the parcel before it that arose at the same place; a
                                  // delivery: that came for the same lot
};
static_assert(sizeof(Parcel) == 56);

// What a vessel holds now. Without volume, doses may wait in it for the wine to come.
struct Holding {
  int64_t volume_ul = 0;
  ParcelId parcel = kNone;
  Handle lot = kNoHandle;
  uint32_t shares_at = 0;
  uint32_t origin_count = 0;
  uint32_t dose_count = 0;
  FactId facts = kNone;     // the latest of the chain of facts about this wine
  RowId since = kNone;      // the entry that last changed what it holds
  RowId last_draw = kNone;  // the entry that last took from it
};
static_assert(sizeof(Holding) == 40);

// How much of a commodity is in a bin, or in stock.
struct Balance {
  Place place;
  Commodity commodity = kWine;
  int64_t amount = 0;
  RowId last_out = kNone;
  uint32_t padding = 0;
};
static_assert(sizeof(Balance) == 24);

enum class FactType : uint32_t {
  kReading,
  kTreatment,
  kObservation,
  kBinCount,
  kStockCount,
  kVolumeCount
};

// Whether it is the difference of a count to the book, of the commodity that `kind` names.
constexpr bool IsCount(FactType type) { return type >= FactType::kBinCount; }

// Something seen that changes no quantity.
struct Fact {
  int64_t value =
      0;  // reading: millionths of the unit; treatment: minutes; count: counted minus book
  RowId row = kNone;
  Handle subject = kNoHandle;  // the vessel, bin, material lot or other thing
  ParcelId parcel = kNone;     // what the vessel held then
  FactId previous = kNone;     // the fact before, of the same wine
  FactType type = FactType::kReading;
  uint32_t kind = 0;  // v1::ReadingKind, v1::TreatmentKind, or a commodity counted
  uint32_t unit = 0;  // v1::ReadingUnit
  uint32_t padding = 0;
};
static_assert(sizeof(Fact) == 40);

// An entry without effect, and why.
struct Held {
  int64_t needed = 0;  // microlitres or bottles
  int64_t there = 0;
  RowId row = kNone;
  Handle subject = kNoHandle;
  RowId taken_by = kNone;
  v1::HeldReason reason = v1::HELD_REASON_UNSPECIFIED;
};
static_assert(sizeof(Held) == 32);

struct Tolerance {
  int64_t ppm = 20'000;  // 2 % of what is there ...
  int64_t ul = 250'000;  // ... or 250 mL, whichever is more

  // How far above `volume_ul` a measured volume may lie.
  int64_t For(int64_t volume_ul) const {
    const Quotient q = Scale(volume_ul, ppm, 1'000'000);
    return q.whole > ul ? q.whole : ul;
  }
};

// The folded cellar. Logs grow as entries are applied; the few things that change in place leave
// their old value in an undo log first. So the state at any earlier place in the order is reached
// by putting old values back and cutting logs.
class State {
 public:
  // Sizes of all logs before an entry was applied.
  struct Mark {
    uint32_t movements, parcels, shares, facts, held, old_holdings, old_balances, old_tolerances;
  };

  // The holding of a vessel; an empty one where nothing was ever put.
  const Holding& holding(Handle vessel) const {
    static constexpr Holding kEmpty;
    return vessel < holdings_.size() ? holdings_[vessel] : kEmpty;
  }
  size_t holdings() const { return holdings_.size(); }
  // The balance of a bin or of the stock; 0 where nothing was ever put.
  const Balance* FindBalance(Place place, Commodity commodity) const;
  absl::Span<const Balance> balances() const { return balances_; }
  const Tolerance& tolerance() const { return tolerance_; }

  const Log<Movement>& movements() const { return movements_; }
  const Log<Parcel>& parcels() const { return parcels_; }
  // The latest movement of a commodity other than wine, and the latest parcel that arose at a
  // place; kNone where there is none. The links lead on from there.
  uint32_t last_of(Commodity commodity) const {
    return commodity < last_of_.size() ? last_of_[commodity] : kNone;
  }
  ParcelId last_at(Handle place) const { return place < last_at_.size() ? last_at_[place] : kNone; }
  const Log<Fact>& facts() const { return facts_; }
  const Log<Held>& held() const { return held_; }
  absl::Span<const Share> origins(const Holding& h) const {
    return shares_.Slice(h.shares_at, h.origin_count);
  }
  absl::Span<const Share> doses(const Holding& h) const {
    return shares_.Slice(h.shares_at + h.origin_count, h.dose_count);
  }
  absl::Span<const Share> origins(const Parcel& p) const {
    return shares_.Slice(p.shares_at, p.origin_count);
  }
  absl::Span<const Share> doses(const Parcel& p) const {
    return shares_.Slice(p.shares_at + p.origin_count, p.dose_count);
  }

  Mark Here() const;
  // Back to what was at `mark`.
  void Rewind(const Mark& mark);
  // Vessels and balances that were changed since `mark`, possibly more than once each.
  struct Touched {
    std::vector<Handle> vessels;
    std::vector<uint32_t> balances;
  };
  void CollectTouched(const Mark& mark, Touched& touched) const;

  // The rest is for applying entries.
  void SetHolding(Handle vessel, const Holding& holding);
  void SetBalance(Place place, Commodity commodity, int64_t amount, RowId last_out);
  void SetTolerance(const Tolerance& tolerance);
  // Writes the lists of a mix down; returns where.
  uint32_t WriteShares(const Mix& mix);
  void Append(Movement movement);
  ParcelId Append(Parcel parcel);
  FactId Append(const Fact& fact);
  void Append(const Held& held) { held_.Append(held); }

 private:
  friend class SnapshotParts;

  struct OldHolding {
    Handle vessel;
    uint32_t padding;
    Holding holding;
  };
  struct OldBalance {
    uint32_t index;
    RowId last_out;
    int64_t amount;
  };

  // Takes movements and parcels from the end of their logs, and out of the lists.
  void CutMovements(size_t size);
  void CutParcels(size_t size);

  std::vector<Holding> holdings_;  // by handle; sparse, as only vessels have one
  std::vector<Balance> balances_;
  absl::flat_hash_map<std::pair<Place, Commodity>, uint32_t> balance_index_;
  Tolerance tolerance_;
  std::vector<uint32_t> last_of_;  // by commodity
  std::vector<ParcelId> last_at_;  // by handle

  Log<Movement> movements_;
  Log<Parcel> parcels_;
  Log<Share> shares_;
  Log<Fact> facts_;
  Log<Held> held_;
  Log<OldHolding> old_holdings_;
  Log<OldBalance> old_balances_;
  Log<Tolerance> old_tolerances_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_STATE_H_

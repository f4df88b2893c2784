#ifndef RUNDLET_CORE_RULES_WINE_H_
#define RUNDLET_CORE_RULES_WINE_H_

#include <cstdint>
#include <optional>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"
#include "core/rules/care.h"

// The wine that rules are held against: what is in a vessel now, or went into the bottles of a run,
// with all that happened to it.
namespace rundlet::rules {

struct WineEvent {
  enum class Kind : uint8_t { kPoured, kAdded, kRead, kTreated, kObserved, kBottled };

  Kind kind = Kind::kPoured;
  bool onto_wine = false;  // poured: there was wine in the vessel already ...
  bool sweetens = false;  // ... and what came may have brought sugar: juice, or a good part of wine
  uint32_t of = 0;        // read: v1::ReadingKind; treated: v1::TreatmentKind
  uint32_t unit = 0;      // read: v1::ReadingUnit
  size_t position = 0;    // in the fold's order
  int64_t at_us = 0;
  // Read: millionths of the unit; poured: the volume afterwards, microlitres; added: the amount, in
  // the base unit of its dimension.
  int64_t value = 0;
  int64_t volume_ul = 0;  // added: of the wine with it; 0 where it waited for the wine
  RowId row = kNone;
  Handle vessel = kNoHandle;    // poured: into which
  Handle material = kNoHandle;  // added: the material or its lot
  rundlet::v1::Dimension dimension = rundlet::v1::DIMENSION_UNSPECIFIED;  // added
};

struct Wine {
  Handle thing = kNoHandle;  // the vessel or the bottling
  bool bottled = false;
  bool from_blend = false;  // its events begin where wines of several vessels met
  int64_t volume_ul = 0;
  Handle lot = kNoHandle;
  RowId row = kNone;  // the entry that last changed its quantity, or bottled it
  absl::Span<const Share> doses;
  std::vector<WineEvent> events;  // in order; that of a run ends with its bottling
};

// Finds wines in a fold. Good as long as the fold does not change. Not safe to share between
// threads.
class WineIndex {
 public:
  // For many wines: one pass over all that the fold did, then each wine costs what happened to it.
  // For a few: nothing beforehand, and each wine costs the entries since it began. What is found is
  // the same.
  WineIndex(const Fold& fold, Reach reach);

  // Nothing where the vessel is empty.
  std::optional<Wine> InVessel(Handle vessel) const;
  // One for each vessel that a bottling of the run drew from, as each has a history of its own.
  std::vector<Wine> OfBottling(Handle bottling) const;

  // All runs, in no particular order; only of an index for many wines.
  std::vector<Handle> Bottlings() const;

  size_t PositionOf(RowId row) const {
    return reach_ == Reach::kAll ? positions_[row] : fold_.sequence().PositionOf(row);
  }
  const CareIndex& care() const { return care_; }

 private:
  void FollowBack(ParcelId parcel, size_t end, Wine& wine) const;
  // Adds what was added to a parcel and seen of it before `end`, latest first.
  void CollectAt(ParcelId parcel, size_t end, std::vector<WineEvent>& events) const;
  void CollectByScan(ParcelId parcel, size_t end, std::vector<WineEvent>& events) const;
  void AddEvent(const Movement& movement, ParcelId parcel, size_t position,
                std::vector<WineEvent>& events) const;
  void AddEvent(const Fact& fact, size_t position, std::vector<WineEvent>& events) const;
  // The movements that made a parcel, and perhaps others into it.
  std::vector<const Movement*> MovementsInto(ParcelId parcel) const;
  std::vector<ParcelId> RunsOf(Handle bottling) const;
  // What was poured to make the parcel; returns the parcel that its wine was before, or kNone.
  ParcelId CollectMaking(ParcelId parcel, Wine& wine) const;
  WineEvent EventOf(WineEvent::Kind kind, RowId row, size_t position) const;

  const Fold& fold_;
  const Reach reach_;
  // Of an index for many wines.
  std::vector<uint32_t> positions_;          // by row
  std::vector<uint32_t> movements_into_;     // by parcel: the last
  std::vector<uint32_t> earlier_movements_;  // by movement: the one before into the same parcel
  std::vector<FactId> facts_of_;             // the same for facts
  std::vector<FactId> earlier_facts_;
  absl::flat_hash_map<Handle, std::vector<ParcelId>> runs_;  // by bottling
  CareIndex care_;
};

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_WINE_H_

#ifndef RUNDLET_CORE_FOLD_APPLIER_H_
#define RUNDLET_CORE_FOLD_APPLIER_H_

#include <vector>

#include "core/fold/directory.h"
#include "core/fold/sequence.h"
#include "core/fold/state.h"

namespace rundlet {

// Applies acts to the state, one at a time in fold order: each either has its whole effect, or is
// held and has none. docs/entries.md says in words what each does.
class Applier {
 public:
  Applier(State& state, const Directory& directory) : state_(state), directory_(directory) {}

  // Applies the act of an entry that counts, or holds it.
  void Apply(RowId row, ActKind kind, absl::Span<const Line> lines);

  // Holds an entry without trying.
  void Hold(RowId row, v1::HeldReason reason);

 private:
  // A draw, worked out before anything is changed.
  struct Plan {
    Handle vessel;
    int64_t take_ul;  // what leaves the vessel in the end
    int64_t gain_ul;  // how much of that was not in the book
  };

  // Each returns false, having held the entry, where it cannot be applied.
  bool AllKnown(absl::Span<const Line> lines);
  bool PlanDraws(absl::Span<const Line> lines, int64_t* drawn_ul);
  bool PlanOutputs(absl::Span<const Line> lines, int64_t drawn_ul, int64_t* rest_ul,
                   int64_t* unsaid_loss_ul);
  // At most everything of one kind that was drawn ends in one place, with what was there.
  bool DrawnDosesFit(absl::Span<const Line> lines);
  bool DosesFit(absl::Span<const Line> lines, int64_t drawn);
  int64_t LargestDose(Handle vessel) const;
  bool HasBottles(const Line& line, Place from);
  bool HoldFor(v1::HeldReason reason, Handle subject, int64_t needed = 0, int64_t there = 0,
               RowId taken_by = kNone);

  void Receive(absl::Span<const Line> lines);
  void Transfer(absl::Span<const Line> lines);
  void Add(absl::Span<const Line> lines);
  void Gauge(absl::Span<const Line> lines);
  void StockIn(const Line& line);
  void StockCount(absl::Span<const Line> lines);
  void BinCount(absl::Span<const Line> lines);
  void TakeBottles(const Line& line, Place from, Place to);
  void EmptyBottles(absl::Span<const Line> lines);
  void Settings(const Line& line);
  void Read(absl::Span<const Line> lines);
  void Treat(absl::Span<const Line> lines);

  // Building blocks.
  void DrawAll();
  // Adds `part_` to the pool as the next draw.
  void Pool(Place from, ParcelId parcel);
  // A bottling session of a run, and how much of its wine is still in glass.
  struct Session {
    ParcelId parcel = kNone;
    int64_t left_ul = 0;
  };
  std::vector<Session> SessionsOf(Handle bottling) const;
  // Wine of a run, as much of each of its sessions as they have left in proportion, into the pool.
  void DrawRun(Handle bottling, int64_t volume_ul);
  void GiveOut(absl::Span<const Line> lines, int64_t rest_ul, int64_t unsaid_loss_ul);
  void PutIntoGlass(const Line& line, ParcelId run);
  ParcelId NewBottlingParcel(absl::Span<const Line> lines);
  // Volume from outside into a vessel, mixed with what is there. Returns the vessel's new parcel.
  ParcelId Inflow(Handle vessel, v1::Account origin, Handle what, Handle lot, int64_t volume_ul);
  ParcelId NewOrigin(v1::Account origin, Handle what, Handle lot, int64_t volume_ul);
  // What a vessel holds, or what a parcel was, as a mix.
  void Load(Handle vessel, Mix& mix) const;
  void Load(const Parcel& parcel, Mix& mix) const;
  template <typename Held>
  void LoadFrom(const Held& held, Mix& mix) const;
  // Puts `mix` into the vessel as a new parcel, after naming what was there before among its
  // movements.
  ParcelId Settle(Handle vessel, const Mix& mix, Handle lot, FactId facts);
  // Writes what is left in a vessel after a draw.
  void Leave(Handle vessel, const Mix& left);
  // Movements from the sources of the poured `part` to `to`.
  void MovePart(const Mix& part, Place to, ParcelId to_parcel);
  // A material out of stock; what the book lacks is booked as a gain first, as it was there to be
  // used.
  void UseMaterial(const Line& line, ParcelId to_parcel);
  void Move(Commodity commodity, int64_t amount, Place from, Place to, ParcelId from_parcel = kNone,
            ParcelId to_parcel = kNone);
  void Deposit(Place place, Commodity commodity, int64_t amount);
  void Withdraw(Place place, Commodity commodity, int64_t amount);
  int64_t BalanceOf(Place place, Commodity commodity) const;
  void AppendFact(Fact fact, bool of_the_wine);

  State& state_;
  const Directory& directory_;

  RowId row_ = kNone;
  uint16_t next_ordinal_ = 0;
  std::vector<Plan> plans_;
  // Scratch, kept between entries so that pouring does not allocate.
  Mix pool_, part_, target_, left_;
  std::vector<ParcelId> source_parcels_;  // by draw
  std::vector<Place> source_places_;
  Handle main_lot_ = kNoHandle;  // of the largest draw
  FactId main_facts_ = kNone;    // of the only draw
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_APPLIER_H_

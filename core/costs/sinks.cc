#include "core/costs/sinks.h"

namespace rundlet::costs {
namespace {

// What went out of the bottles of each session again.
absl::flat_hash_map<ParcelId, int64_t> EmptiedOut(const Fold& fold) {
  absl::flat_hash_map<ParcelId, int64_t> emptied;
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    if (m.commodity == kWine && m.from == Place::Outside(v1::ACCOUNT_GLASS))
      emptied[m.from_parcel] += m.amount;
  }
  return emptied;
}

template <typename Held>
Sink MakeSink(const Fold& fold, const Held& held, Handle place, bool glass) {
  Sink sink{.place = place, .lot = held.lot, .glass = glass, .volume_ul = held.volume_ul};
  for (const Share& share : fold.state().origins(held)) sink.origins[share.of] = share.amount;
  for (const Share& share : fold.state().doses(held)) sink.doses[share.of] = share.amount;
  return sink;
}

// A session without what was emptied out of it: less of everything, in proportion.
void Lessen(Sink& sink, int64_t out_ul) {
  const int64_t left_ul = sink.volume_ul > out_ul ? sink.volume_ul - out_ul : 0;
  for (auto& [of, amount] : sink.origins) amount = Scale(amount, left_ul, sink.volume_ul).whole;
  for (auto& [of, amount] : sink.doses) amount = Scale(amount, left_ul, sink.volume_ul).whole;
  sink.volume_ul = left_ul;
}

}  // namespace

bool Counts(const Fold& fold, RowId row) {
  return fold.sequence().row(row).standing == Row::Standing::kCounts &&
         fold.HeldAt(fold.sequence().PositionOf(row)) == nullptr;
}

std::vector<Sink> SinksOf(const Fold& fold) {
  std::vector<Sink> sinks;
  for (Handle vessel = 0; vessel < fold.state().holdings(); ++vessel) {
    const Holding& holding = fold.state().holding(vessel);
    if (holding.volume_ul > 0) sinks.push_back(MakeSink(fold, holding, vessel, false));
  }
  const auto emptied = EmptiedOut(fold);
  absl::flat_hash_map<ParcelId, size_t> sessions;
  for (ParcelId id = 0; id < fold.state().parcels().size(); ++id) {
    const Parcel& parcel = fold.state().parcels()[id];
    if (parcel.origin != 0 || fold.directory().kind(parcel.place) != v1::Thing::kBottling) continue;
    sessions[id] = sinks.size();
    sinks.push_back(MakeSink(fold, parcel, parcel.place, true));
    const auto out = emptied.find(id);
    if (out != emptied.end()) Lessen(sinks.back(), out->second);
  }
  // Closures, bottles and labels are in no wine, but they are in the bottles.
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    const auto session = sessions.find(m.to_parcel);
    if (m.to == Place::Outside(v1::ACCOUNT_USED) && session != sessions.end())
      sinks[session->second].doses[m.commodity] += m.amount;
  }
  return sinks;
}

}  // namespace rundlet::costs

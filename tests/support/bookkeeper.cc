#include "tests/support/bookkeeper.h"

#include "absl/strings/str_cat.h"
#include "tests/support/describe.h"

namespace rundlet::testing {
namespace {

absl::Status Wrong(const Fold& fold, size_t position, absl::string_view what) {
  return absl::InternalError(
      absl::StrCat(what, " at position ", position, ", entry ",
                   fold.sequence().row(fold.sequence().at(position)).id.ToString(), " of kind ",
                   static_cast<int>(fold.sequence().row(fold.sequence().at(position)).body), ":\n",
                   DescribePosition(fold, position)));
}

absl::Status CheckShares(absl::Span<const Share> origins, absl::Span<const Share> doses,
                         int64_t volume_ul, absl::string_view where) {
  int64_t sum_ul = 0;
  for (const absl::Span<const Share> list : {origins, doses}) {
    for (size_t i = 0; i < list.size(); ++i) {
      if (list[i].amount <= 0) return absl::InternalError(absl::StrCat("no share in ", where));
      if (i > 0 && list[i - 1].of >= list[i].of) {
        return absl::InternalError(absl::StrCat("unsorted shares in ", where));
      }
    }
  }
  for (const Share& share : origins) sum_ul += share.amount;
  if (sum_ul == volume_ul) return absl::OkStatus();
  return absl::InternalError(
      absl::StrCat("the origins of ", where, " are ", sum_ul, ", its volume ", volume_ul));
}

absl::Status CheckEntryOutputs(const Fold& fold, size_t position) {
  const RowId row = fold.sequence().at(position);
  const auto movements = fold.MovementsAt(position);
  const auto parcels = fold.ParcelsAt(position);
  const auto facts = fold.FactsAt(position);
  const bool idle = fold.HeldAt(position) != nullptr ||
                    fold.sequence().row(row).standing != Row::Standing::kCounts;
  if (idle && !(movements.empty() && parcels.empty() && facts.empty())) {
    return Wrong(fold, position, "an entry that is held or void did something");
  }
  for (const Movement& m : movements) {
    if (m.row != row) return Wrong(fold, position, "a movement of another entry");
  }
  for (const Fact& f : facts) {
    if (f.row != row) return Wrong(fold, position, "a fact of another entry");
  }
  for (size_t i = 0; i < parcels.size(); ++i) {
    if (parcels[i].row != row || parcels[i].ordinal != i) {
      return Wrong(fold, position, "a parcel that is misnamed");
    }
  }
  return absl::OkStatus();
}

absl::Status CheckHoldings(const Fold& fold) {
  const State& state = fold.state();
  for (Handle vessel = 0; vessel < state.holdings(); ++vessel) {
    const Holding& h = state.holding(vessel);
    if (absl::Status status = CheckShares(state.origins(h), state.doses(h), h.volume_ul,
                                          absl::StrCat("vessel ", vessel));
        !status.ok()) {
      return status;
    }
    const bool empty = h.volume_ul == 0 && h.dose_count == 0;
    if (empty == (h.parcel != kNone)) {
      return absl::InternalError(absl::StrCat("vessel ", vessel, ": a parcel without content"));
    }
    if (empty && (h.lot != kNoHandle || h.facts != kNone)) {
      return absl::InternalError(absl::StrCat("vessel ", vessel, " is empty and remembers"));
    }
  }
  return absl::OkStatus();
}

absl::Status CheckParcels(const Fold& fold) {
  const State& state = fold.state();
  for (size_t i = 0; i < state.parcels().size(); ++i) {
    const Parcel& p = state.parcels()[i];
    if (p.origin != 0) {
      if (p.origin_count + p.dose_count != 0 || p.volume_ul <= 0) {
        return absl::InternalError(absl::StrCat("parcel ", i, " is an origin with a past"));
      }
      continue;
    }
    if (absl::Status status =
            CheckShares(state.origins(p), state.doses(p), p.volume_ul, absl::StrCat("parcel ", i));
        !status.ok()) {
      return status;
    }
  }
  return absl::OkStatus();
}

}  // namespace

absl::Status Bookkeeper::Post(const Fold& fold, const Movement& m) {
  if (m.amount <= 0) return absl::InternalError("a movement of nothing");
  for (const Place place : {m.from, m.to}) {
    const bool outside = place.kind() == Place::Kind::kOutside;
    const bool named = outside ? place.account() != v1::ACCOUNT_UNSPECIFIED
                               : place.kind() == Place::Kind::kStock || place.handle() != kNoHandle;
    if (!named) return absl::InternalError("a movement with an end nowhere");
    const auto kind = fold.commodities().info(m.commodity).kind;
    const bool fits =
        outside || (place.kind() == Place::Kind::kVessel && kind == CommodityInfo::Kind::kWine) ||
        (place.kind() == Place::Kind::kBin && kind == CommodityInfo::Kind::kBottles) ||
        (place.kind() == Place::Kind::kStock && kind == CommodityInfo::Kind::kMaterial);
    if (!fits) return absl::InternalError("a movement of something to where it cannot be");
  }
  balances_[{m.from.kind(), m.from.handle(), m.commodity}] -= m.amount;
  balances_[{m.to.kind(), m.to.handle(), m.commodity}] += m.amount;
  return absl::OkStatus();
}

absl::Status Bookkeeper::Replay(const Fold& fold) {
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const auto movements = fold.MovementsAt(position);
    for (const Movement& m : movements) {
      if (absl::Status status = Post(fold, m); !status.ok()) {
        return Wrong(fold, position, status.message());
      }
    }
    for (const Movement& m : movements) {
      for (const Place place : {m.from, m.to}) {
        if (place.kind() == Place::Kind::kOutside) continue;
        if (balances_[{place.kind(), place.handle(), m.commodity}] < 0) {
          return Wrong(fold, position, "less than nothing is left behind");
        }
      }
    }
  }
  return absl::OkStatus();
}

absl::Status Bookkeeper::Compare(const Fold& fold) const {
  std::map<Key, int64_t> kept;
  for (Handle vessel = 0; vessel < fold.state().holdings(); ++vessel) {
    kept[{Place::Kind::kVessel, vessel, kWine}] = fold.state().holding(vessel).volume_ul;
  }
  for (const Balance& b : fold.state().balances()) {
    kept[{b.place.kind(), b.place.handle(), b.commodity}] = b.amount;
  }
  for (const auto& [key, amount] : balances_) {
    if (std::get<Place::Kind>(key) != Place::Kind::kOutside) kept.try_emplace(key, 0);
  }
  for (const auto& [key, amount] : kept) {
    const auto mine = balances_.find(key);
    const __int128 moved = mine == balances_.end() ? 0 : mine->second;
    if (moved == amount) continue;
    return absl::InternalError(
        absl::StrCat("the fold keeps ", amount, ", the movements make ",
                     static_cast<int64_t>(moved), " of commodity ", std::get<2>(key), " at place ",
                     static_cast<int>(std::get<0>(key)), "/", std::get<1>(key)));
  }
  return absl::OkStatus();
}

absl::Status AuditFold(const Fold& fold) {
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    if (absl::Status status = CheckEntryOutputs(fold, position); !status.ok()) return status;
  }
  if (absl::Status status = CheckHoldings(fold); !status.ok()) return status;
  if (absl::Status status = CheckParcels(fold); !status.ok()) return status;
  Bookkeeper bookkeeper;
  if (absl::Status status = bookkeeper.Replay(fold); !status.ok()) return status;
  return bookkeeper.Compare(fold);
}

}  // namespace rundlet::testing

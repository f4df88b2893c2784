#include "core/reports/recall_bottles.h"

#include <algorithm>

#include "core/reports/running.h"
#include "core/view/names.h"

namespace rundlet::reports {

int64_t BottlesOfRun::Expected() const {
  int64_t bottles = filled - emptied - missing;
  for (const Crossing& out : taken) bottles -= out.bottles;
  for (const Crossing& back : returned) bottles += back.bottles;
  return bottles;
}

int64_t BottlesOfRun::Lies() const {
  int64_t bottles = 0;
  for (const Lying& here : lying) bottles += here.bottles;
  return bottles;
}

BottlesOfRun FollowBottles(const Fold& fold, Commodity commodity) {
  const State& state = fold.state();
  BottlesOfRun run;
  for (uint32_t i = state.last_of(commodity); i != kNone; i = state.movements()[i].earlier_from) {
    const Movement& m = state.movements()[i];
    if (IsInside(m.from) && IsInside(m.to)) continue;
    const bool out = IsInside(m.from);
    const Place inside = out ? m.from : m.to;
    const v1::Account account = (out ? m.to : m.from).account();
    if (account == v1::ACCOUNT_GLASS) {
      (out ? run.emptied : run.filled) += m.amount;
    } else if (account == v1::ACCOUNT_COUNTED) {
      run.missing += out ? m.amount : -m.amount;
    } else {
      (out ? run.taken : run.returned)
          .push_back({.row = m.row, .bottles = m.amount, .bin = inside, .account = account});
    }
  }
  std::reverse(run.taken.begin(), run.taken.end());
  std::reverse(run.returned.begin(), run.returned.end());
  for (const Balance& balance : state.balances()) {
    if (balance.commodity == commodity && balance.amount != 0)
      run.lying.push_back({.place = balance.place, .bottles = balance.amount});
  }
  const auto bin_name = [&](Place place) {
    return place.kind() == Place::Kind::kBin ? NameOf(fold, place.handle()) : "";
  };
  std::sort(run.lying.begin(), run.lying.end(),
            [&](const BottlesOfRun::Lying& a, const BottlesOfRun::Lying& b) {
              return bin_name(a.place) < bin_name(b.place);
            });
  return run;
}

}  // namespace rundlet::reports

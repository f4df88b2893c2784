#include "core/costs/shares.h"

#include <algorithm>
#include <map>

#include "core/costs/sinks.h"
#include "core/quantity/apportion.h"
#include "core/view/names.h"

namespace rundlet::costs {
namespace {

bool IsRunOf(const Fold& fold, Handle bottling, Handle lot) {
  const Directory::Known* known = fold.directory().Find(bottling);
  return known != nullptr && HandleOf(fold, known->thing.bottling().lot_id()) == lot;
}

// Bottles of one size that one member took as their share.
struct Taken {
  Handle member = kNoHandle;
  int64_t size_ul = 0;
  int64_t count = 0;
};

std::vector<Taken> TakenOf(const Fold& fold, Handle lot) {
  std::vector<Taken> list;
  for (const auto& [row, record] : fold.records().all()) {
    const v1::BottlesTaken& taken = record.bottles_taken();
    if (!record.has_bottles_taken() || taken.account() != v1::ACCOUNT_SHARE || !Counts(fold, row))
      continue;
    const v1::Bottles& bottles = taken.bottles();
    const Handle member = HandleOf(fold, taken.member_id());
    if (member != kNoHandle && IsRunOf(fold, HandleOf(fold, bottles.bottling_id()), lot))
      list.push_back({member, bottles.size_ul(), bottles.count()});
  }
  return list;
}

// Whoever put something in, and whoever took a share without.
void ListMembers(const Fold& fold, const std::vector<Taken>& taken, LotShares& shares) {
  std::map<Handle, MemberShare> members;
  for (const auto& [row, record] : fold.records().all()) {
    if (!record.has_contributed() || !Counts(fold, row)) continue;
    const v1::Contributed& put = record.contributed();
    if (HandleOf(fold, put.lot_id()) != shares.lot) continue;
    MemberShare& member = members[HandleOf(fold, put.member_id())];
    member.worth_cents += put.worth_cents();
    if (put.kind() == v1::CONTRIBUTION_KIND_FRUIT) member.fruit_ug += put.amount();
    if (put.kind() == v1::CONTRIBUTION_KIND_WORK) member.work_min += put.amount();
  }
  for (const Taken& t : taken) members[t.member];
  for (auto& [handle, member] : members) {
    member.member = handle;
    shares.members.push_back(member);
  }
  const auto name = [&](const MemberShare& m) {
    return std::make_pair(fold.directory().NameOf(m.member, fold.sequence()),
                          fold.interner().id(m.member));
  };
  std::sort(shares.members.begin(), shares.members.end(),
            [&](const MemberShare& a, const MemberShare& b) { return name(a) < name(b); });
}

// Where a bottle is while it is one of those that are shared out.
bool IsToShare(Place place) {
  return place.kind() == Place::Kind::kBin || place == Place::Outside(v1::ACCOUNT_OPENED) ||
         place == Place::Outside(v1::ACCOUNT_SHARE);
}

void CountBottles(const Fold& fold, LotShares& shares) {
  std::map<int64_t, SizeShare> sizes;
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    const CommodityInfo& info = fold.commodities().info(m.commodity);
    if (info.kind != CommodityInfo::Kind::kBottles || !IsRunOf(fold, info.handle, shares.lot))
      continue;
    if (IsToShare(m.to)) sizes[info.measure].to_share += m.amount;
    if (IsToShare(m.from)) sizes[info.measure].to_share -= m.amount;
  }
  std::vector<int64_t> worths;
  for (const MemberShare& member : shares.members) worths.push_back(member.worth_cents);
  for (auto& [size_ul, size] : sizes) {
    size.size_ul = size_ul;
    size.to_share = std::max<int64_t>(size.to_share, 0);
    size.entitled = Apportion(size.to_share, worths);
    size.taken.assign(shares.members.size(), 0);
    shares.sizes.push_back(std::move(size));
  }
}

void CountTaken(const std::vector<Taken>& taken, LotShares& shares) {
  for (const Taken& t : taken) {
    for (SizeShare& size : shares.sizes) {
      if (size.size_ul != t.size_ul) continue;
      for (size_t i = 0; i < shares.members.size(); ++i) {
        if (shares.members[i].member == t.member) size.taken[i] += t.count;
      }
    }
  }
}

}  // namespace

int64_t LotShares::worth_cents() const {
  int64_t sum = 0;
  for (const MemberShare& member : members) sum += member.worth_cents;
  return sum;
}

LotShares SharesOf(const Fold& fold, Handle lot) {
  LotShares shares{.lot = lot};
  const std::vector<Taken> taken = TakenOf(fold, lot);
  ListMembers(fold, taken, shares);
  CountBottles(fold, shares);
  CountTaken(taken, shares);
  return shares;
}

}  // namespace rundlet::costs

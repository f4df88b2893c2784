#include "core/costs/shares.h"

#include <algorithm>
#include <map>

#include "core/quantity/apportion.h"

namespace rundlet::costs {
namespace {

Handle HandleOf(const Fold& fold, const std::string& id) {
  const auto uuid = Uuid::FromBytes(id);
  return uuid.ok() ? fold.interner().Find(*uuid) : kNoHandle;
}

bool Counts(const Fold& fold, RowId row) {
  return fold.sequence().row(row).standing == Row::Standing::kCounts &&
         fold.HeldAt(fold.sequence().PositionOf(row)) == nullptr;
}

void TakeContributions(const Fold& fold, LotShares& shares) {
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

bool IsRunOf(const Fold& fold, Handle bottling, Handle lot) {
  const Directory::Known* known = fold.directory().Find(bottling);
  return known != nullptr && HandleOf(fold, known->thing.bottling().lot_id()) == lot;
}

void CountBottles(const Fold& fold, LotShares& shares) {
  std::map<int64_t, SizeShare> sizes;
  const Place glass = Place::Outside(v1::ACCOUNT_GLASS);
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    if (m.from != glass && m.to != glass) continue;
    const CommodityInfo& info = fold.commodities().info(m.commodity);
    if (info.kind != CommodityInfo::Kind::kBottles || !IsRunOf(fold, info.handle, shares.lot))
      continue;
    sizes[info.measure].filled += m.from == glass ? m.amount : -m.amount;
  }
  std::vector<int64_t> worths;
  for (const MemberShare& member : shares.members) worths.push_back(member.worth_cents);
  for (auto& [size_ul, size] : sizes) {
    size.size_ul = size_ul;
    size.entitled = Apportion(size.filled, worths);
    size.taken.assign(shares.members.size(), 0);
    shares.sizes.push_back(std::move(size));
  }
}

void TakeTaken(const Fold& fold, LotShares& shares) {
  for (const auto& [row, record] : fold.records().all()) {
    const v1::BottlesTaken& taken = record.bottles_taken();
    if (!record.has_bottles_taken() || taken.account() != v1::ACCOUNT_SHARE || !Counts(fold, row))
      continue;
    if (!IsRunOf(fold, HandleOf(fold, taken.bottles().bottling_id()), shares.lot)) continue;
    const Handle member = HandleOf(fold, taken.member_id());
    for (SizeShare& size : shares.sizes) {
      if (size.size_ul != taken.bottles().size_ul()) continue;
      for (size_t i = 0; i < shares.members.size(); ++i) {
        if (shares.members[i].member == member) size.taken[i] += taken.bottles().count();
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
  TakeContributions(fold, shares);
  CountBottles(fold, shares);
  TakeTaken(fold, shares);
  return shares;
}

}  // namespace rundlet::costs

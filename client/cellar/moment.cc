#include "client/cellar/moment.h"

#include "core/view/names.h"

namespace rundlet::client {
namespace {

bool IsDirectory(const v1::Entry& entry) {
  return entry.has_registered() || entry.has_changed() || entry.has_retired();
}

}  // namespace

Moment Moment::Latest(const Cellar& cellar) {
  Moment moment;
  moment.fold_ = cellar.fold.get();
  return moment;
}

absl::StatusOr<Moment> Moment::Before(Cellar& cellar, size_t position, const Uuid& without) {
  const Sequence& order = cellar.fold->sequence();
  if (position >= order.size() && without.is_nil()) return Latest(cellar);
  Moment moment;
  moment.past_ = std::make_unique<Fold>();
  const absl::Status status = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    const RowId row = order.Find(stored.id);
    if (row == kNone || stored.id == without || !stored.whole ||
        stored.state == EntryState::kReturned)
      return absl::OkStatus();
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) return absl::OkStatus();  // left out of the cellar too
    // What is void by now is void then: the voids themselves may stand later in the order.
    if (order.row(row).standing != Row::Standing::kCounts) return absl::OkStatus();
    if (IsDirectory(*entry) || order.PositionOf(row) < position) moment.past_->Insert(*entry);
    return absl::OkStatus();
  });
  if (!status.ok()) return status;
  moment.past_->Settle();
  moment.fold_ = moment.past_.get();
  return moment;
}

int64_t Moment::VolumeOf(const Uuid& vessel) const {
  return fold_->state().holding(fold_->interner().Find(vessel)).volume_ul;
}

std::vector<Uuid> Moment::VesselsHolding(const Uuid& lot) const {
  std::vector<Uuid> vessels;
  const Handle handle = fold_->interner().Find(lot);
  if (handle == kNoHandle) return vessels;
  for (const Handle vessel : rundlet::VesselsHolding(*fold_, handle)) {
    vessels.push_back(fold_->interner().id(vessel));
  }
  return vessels;
}

int64_t Moment::BottlesIn(const Uuid& bin, const Uuid& bottling, int64_t size_ul) const {
  for (const Balance& balance : fold_->state().balances()) {
    const CommodityInfo& info = fold_->commodities().info(balance.commodity);
    if (balance.place == Place::Bin(fold_->interner().Find(bin)) &&
        info.kind == CommodityInfo::Kind::kBottles &&
        fold_->interner().id(info.handle) == bottling && info.measure == size_ul) {
      return balance.amount;
    }
  }
  return 0;
}

}  // namespace rundlet::client

#include "core/fold/sequence.h"

#include <algorithm>

namespace rundlet {
namespace {

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

}  // namespace

RowId Sequence::Find(const Uuid& entry_id) const {
  for (; indexed_ < rows_.size(); ++indexed_) {
    by_id_.emplace(rows_[indexed_].id, static_cast<RowId>(indexed_));
  }
  const auto it = by_id_.find(entry_id);
  return it == by_id_.end() ? kNone : it->second;
}

bool Sequence::Before(RowId a, RowId b) const {
  const Row& x = rows_[a];
  const Row& y = rows_[b];
  if (x.effective_at_us != y.effective_at_us) return x.effective_at_us < y.effective_at_us;
  if (x.place_device != y.place_device)
    return interner_.id(x.place_device) < interner_.id(y.place_device);
  if (x.place_seq != y.place_seq) return x.place_seq < y.place_seq;
  return x.id < y.id;
}

Sequence::Inserted Sequence::Insert(const v1::Entry& entry, bool known_new) {
  Inserted inserted;
  const Uuid id = IdOf(entry.entry_id());
  if (!known_new) inserted.row = Find(id);
  if (inserted.row != kNone) return inserted;

  inserted.fresh = true;
  inserted.row = static_cast<RowId>(rows_.size());
  const Act act = MakeAct(entry, interner_, commodities_);
  Row row;
  row.id = id;
  row.effective_at_us = entry.effective_at_us();
  row.device = interner_.Intern(IdOf(entry.device_id()));
  row.device_seq = entry.device_seq();
  row.place_device = row.device;
  row.place_seq = row.device_seq;
  row.author = interner_.Intern(IdOf(entry.author_id()));
  row.lines_at = static_cast<uint32_t>(lines_.size());
  row.line_count = static_cast<uint16_t>(act.lines.size());
  row.utc_offset_min = static_cast<int16_t>(entry.utc_offset_min());
  row.kind = act.kind;
  row.body = static_cast<uint8_t>(entry.body_case());
  if (entry.has_amendment()) {
    row.amends = true;
    row.place_device = interner_.Intern(IdOf(entry.amendment().place_device_id()));
    row.place_seq = entry.amendment().place_device_seq();
  }
  lines_.Append(absl::Span<const Line>(act.lines.data(), act.lines.size()));
  rows_.Append(row);
  waiting_sorted_ = waiting_sorted_ && (waiting_.empty() || Before(waiting_.back(), inserted.row));
  waiting_.push_back(inserted.row);

  if (const auto it = voided_.find(id); it != voided_.end()) {
    rows_[inserted.row].standing = Row::Standing::kVoid;
    rows_[inserted.row].voided_by = it->second;
  }
  if (row.amends) {
    MarkVoid(IdOf(entry.amendment().target_id()), inserted.row, inserted);
    amendments_[{row.place_device, row.place_seq}].push_back(inserted.row);
    SettlePlace({row.place_device, row.place_seq}, inserted.row, inserted);
  }
  if (row.kind == ActKind::kVoid) MarkVoid(IdOf(entry.void_().target_id()), inserted.row, inserted);
  return inserted;
}

void Sequence::MarkVoid(const Uuid& target, RowId by, Inserted& inserted) {
  // Of several entries that void the same one, the one with the least id is named, whichever came
  // first.
  const auto [it, fresh] = voided_.try_emplace(target, by);
  if (!fresh && rows_[by].id < rows_[it->second].id) it->second = by;
  const RowId found = Find(target);
  if (found == kNone) return;
  Row& row = rows_[found];
  if (row.voided_by == it->second) return;
  row.voided_by = it->second;
  if (row.standing == Row::Standing::kVoid) {
    inserted.changed.push_back(found);  // named by another
    return;
  }
  row.standing = Row::Standing::kVoid;
  inserted.changed.push_back(found);
  if (row.amends) SettlePlace({row.place_device, row.place_seq}, kNone, inserted);
}

void Sequence::SettlePlace(const PlaceKey& place, RowId newcomer, Inserted& inserted) {
  const auto& rivals = amendments_[place];
  RowId winner = kNone;
  for (const RowId rival : rivals) {
    if (rows_[rival].standing == Row::Standing::kVoid) continue;
    if (winner == kNone || rows_[winner].id < rows_[rival].id) winner = rival;
  }
  for (const RowId rival : rivals) {
    Row& row = rows_[rival];
    if (row.standing == Row::Standing::kVoid) continue;
    const auto standing = rival == winner ? Row::Standing::kCounts : Row::Standing::kSuperseded;
    if (row.standing == standing) continue;
    row.standing = standing;
    if (rival != newcomer) inserted.changed.push_back(rival);
  }
}

size_t Sequence::FirstWaiting() {
  if (waiting_.empty()) return size();
  if (!waiting_sorted_) {
    std::sort(waiting_.begin(), waiting_.end(), [this](RowId a, RowId b) { return Before(a, b); });
    waiting_sorted_ = true;
  }
  if (order_.empty() || Before(order_.back(), waiting_.front())) return size();
  return PositionOf(waiting_.front());
}

void Sequence::Merge() {
  const size_t first = FirstWaiting();
  std::vector<RowId> tail;
  tail.reserve(order_.size() - first);
  for (size_t i = first; i < order_.size(); ++i) tail.push_back(order_[i]);
  std::vector<RowId> merged(tail.size() + waiting_.size());
  std::merge(tail.begin(), tail.end(), waiting_.begin(), waiting_.end(), merged.begin(),
             [this](RowId a, RowId b) { return Before(a, b); });
  order_.Truncate(first);
  order_.Append(absl::Span<const RowId>(merged));
  waiting_.clear();
}

size_t Sequence::PositionOf(RowId row) const {
  size_t low = 0;
  size_t high = order_.size();
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    if (Before(order_[middle], row)) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

size_t Sequence::PositionOfTime(int64_t effective_at_us) const {
  size_t low = 0;
  size_t high = order_.size();
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    if (rows_[order_[middle]].effective_at_us < effective_at_us) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

}  // namespace rundlet

#include "client/cellar/open_returns.h"

#include <string>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "client/store/sync_store.h"

namespace rundlet::client {
namespace {

std::string TargetOf(const v1::Entry& entry) {
  return entry.has_void_() ? entry.void_().target_id() : entry.amendment().target_id();
}

// Whether another device has handed it in, under its id.
bool IsTakenOver(Store& store, const StoredEntry& stored) {
  const auto counting = store.Find(stored.id);
  return counting.ok() && counting->state == EntryState::kRecorded && counting->device_seq == 0;
}

}  // namespace

absl::StatusOr<std::vector<StoredEntry>> OpenReturns(Cellar& cellar) {
  auto returned = cellar.store.Returned();
  if (!returned.ok() || returned->empty()) return returned;
  absl::flat_hash_set<std::string> settled;
  // An amendment that was returned itself takes the place of what it amends: one thing to look
  // after, not two.
  for (const StoredEntry& stored : *returned) {
    const auto entry = ReadEntry(stored.bytes);
    if (entry.ok()) settled.insert(TargetOf(*entry));
  }
  const Sequence& sequence = cellar.fold->sequence();
  for (RowId row = 0; row < sequence.rows(); ++row) {
    if (sequence.row(row).kind != ActKind::kVoid && !sequence.row(row).amends) continue;
    const auto entry = EntryOfRow(cellar, row);
    if (entry.ok()) settled.insert(TargetOf(*entry));
  }
  std::erase_if(*returned, [&](const StoredEntry& stored) {
    return stored.reason == kDropped || settled.contains(stored.id.ToBytes()) ||
           IsTakenOver(cellar.store, stored);
  });
  return returned;
}

std::string WhyReturned(const StoredEntry& stored) {
  return absl::StrCat(stored.message.empty() ? stored.reason : stored.message,
                      IsOfNumbers(stored.reason)
                          ? " (the same token may be in use on two machines: each needs its own)"
                          : "");
}

}  // namespace rundlet::client

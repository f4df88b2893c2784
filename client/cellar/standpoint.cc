#include "client/cellar/standpoint.h"

#include <vector>

#include "absl/container/flat_hash_set.h"
#include "core/view/named.h"

namespace rundlet::client {
namespace {

// Which entries of a fold happened until a moment, and which registrations from after it they need.
class Happened {
 public:
  Happened(const Fold& fold, int64_t until_us) : fold_(fold) {
    const Sequence& order = fold.sequence();
    for (size_t position = 0; position < order.size(); ++position) {
      const RowId row = order.at(position);
      if (order.row(row).standing != Row::Standing::kCounts) continue;
      if (order.row(row).effective_at_us > until_us) {
        if (IsRegistration(row)) later_.push_back(row);
        continue;
      }
      Take(row);
    }
    // A thing that was registered later may belong to another one that was, too.
    for (size_t before = SIZE_MAX; before != rows_.size();) {
      before = rows_.size();
      for (const RowId row : later_) {
        const Handle subject = fold_.DirectorySubject(row);
        if (named_.contains(subject) && !registered_.contains(subject)) Take(row);
      }
    }
  }

  bool Holds(RowId row) const { return rows_.contains(row); }

 private:
  bool IsRegistration(RowId row) const {
    return fold_.sequence().row(row).body == v1::Entry::kRegisteredFieldNumber;
  }

  void Take(RowId row) {
    rows_.insert(row);
    named_.insert(fold_.sequence().row(row).author);
    ForEachNamed(fold_, row, [&](Handle named) { named_.insert(named); });
    if (!IsRegistration(row)) return;
    const Handle subject = fold_.DirectorySubject(row);
    registered_.insert(subject);
    const Directory::Known* known = fold_.directory().Find(subject);
    if (known == nullptr) return;
    ForEachNamed(fold_, known->thing, [&](Handle named) { named_.insert(named); });
  }

  const Fold& fold_;
  std::vector<RowId> later_;
  absl::flat_hash_set<RowId> rows_;
  absl::flat_hash_set<Handle> named_, registered_;
};

}  // namespace

int64_t KnownSinceUs(const StoredEntry& stored, const v1::Entry& entry) {
  return stored.received_at_us > 0 ? stored.received_at_us : entry.written_at_us();
}

absl::StatusOr<std::unique_ptr<Fold>> FoldOf(Store& store, Wanted wanted) {
  auto fold = std::make_unique<Fold>();
  const absl::Status status = store.ForEach(0, [&](const StoredEntry& stored) {
    if (!stored.whole || stored.state == EntryState::kReturned) return absl::OkStatus();
    const auto entry = ReadEntry(stored.bytes);
    if (entry.ok() && wanted(stored, *entry)) fold->InsertNew(*entry);
    return absl::OkStatus();
  });
  if (!status.ok()) return status;
  fold->Settle();
  return fold;
}

absl::Status LookFrom(const Standpoint& standpoint, Cellar& cellar) {
  if (standpoint.known_us != INT64_MAX) {
    auto known = FoldOf(cellar.store, [&](const StoredEntry& stored, const v1::Entry& entry) {
      return KnownSinceUs(stored, entry) <= standpoint.known_us;
    });
    if (!known.ok()) return known.status();
    cellar.fold = *std::move(known);
  }
  if (standpoint.happened_us != INT64_MAX) {
    const Happened happened(*cellar.fold, standpoint.happened_us);
    const Sequence& order = cellar.fold->sequence();
    auto past = FoldOf(cellar.store, [&](const StoredEntry& stored, const v1::Entry&) {
      const RowId row = order.Find(stored.id);
      return row != kNone && happened.Holds(row);
    });
    if (!past.ok()) return past.status();
    cellar.fold = *std::move(past);
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client

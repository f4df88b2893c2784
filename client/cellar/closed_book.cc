#include "client/cellar/closed_book.h"

#include <algorithm>
#include <tuple>

#include "core/closing/reach.h"

namespace rundlet::client {
namespace {

using closing::Closing;
using closing::Past;

// Every entry of the fold, with its row and what the store knows of it.
absl::Status ForEachFolded(
    Cellar& cellar, absl::FunctionRef<void(RowId, const StoredEntry&, const v1::Entry&)> visit) {
  return cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    if (!stored.whole || stored.state == EntryState::kReturned) return absl::OkStatus();
    const RowId row = cellar.fold->sequence().Find(stored.id);
    const auto entry = ReadEntry(stored.bytes);
    if (row != kNone && entry.ok()) visit(row, stored, *entry);
    return absl::OkStatus();
  });
}

bool Counts(const Cellar& cellar, RowId row) {
  return cellar.fold->sequence().row(row).standing == Row::Standing::kCounts;
}

// Tells what whoever closed a period had seen from what came later.
class Seen {
 public:
  Seen(const Cellar& cellar, const Closing& closing)
      : sequence_(cellar.fold->sequence()),
        closing_(sequence_.row(closing.row)),
        journal_size_(cellar.fold->records().Find(closing.row)->period_closed().journal_size()) {}

  bool Has(RowId row, const StoredEntry& stored) const {
    const Row& entry = sequence_.row(row);
    if (entry.device == closing_.device) return entry.device_seq <= closing_.device_seq;
    return stored.seq != 0 && stored.seq <= journal_size_;
  }

 private:
  const Sequence& sequence_;
  const Row& closing_;
  const uint64_t journal_size_;
};

Uuid SubjectOf(const v1::Entry& entry) {
  const auto id = Uuid::FromBytes(Directory::SubjectId(entry));
  return id.ok() ? *id : Uuid();
}

}  // namespace

absl::StatusOr<closing::Periods> PeriodsOf(Cellar& cellar) {
  struct Act {
    bool waits;
    uint64_t place;
    RowId row;
    const v1::Entry* entry;
    bool operator<(const Act& other) const {
      return std::tie(waits, place) < std::tie(other.waits, other.place);
    }
  };
  const Sequence& sequence = cellar.fold->sequence();
  std::vector<Act> acts;
  for (const auto& [row, entry] : cellar.fold->records().all()) {
    if (!entry.has_period_closed() && !entry.has_period_reopened()) continue;
    const auto stored = cellar.store.Find(sequence.row(row).id);
    if (!stored.ok()) return stored.status();
    const bool waits = stored->seq == 0;
    acts.push_back({waits, waits ? sequence.row(row).device_seq : stored->seq, row, &entry});
  }
  std::sort(acts.begin(), acts.end());
  closing::Periods periods;
  for (const Act& act : acts) periods.Take(act.row, *act.entry);
  return periods;
}

absl::StatusOr<Past> PastOf(Cellar& cellar, int64_t until_us) {
  Past past(until_us);
  const absl::Status status =
      ForEachFolded(cellar, [&](RowId row, const StoredEntry&, const v1::Entry& entry) {
        if (Counts(cellar, row)) past.Add(entry);
      });
  if (!status.ok()) return status;
  return past;
}

absl::StatusOr<ClosingCheck> CheckClosing(Cellar& cellar, const Closing& closing) {
  struct Late {
    RowId row;
    Uuid subject;  // of which it says something; nil: it reaches into the period
  };
  const Seen seen(cellar, closing);
  Past past(closing.until_us);
  std::vector<Late> late;
  const absl::Status status =
      ForEachFolded(cellar, [&](RowId row, const StoredEntry& stored, const v1::Entry& entry) {
        const bool early = seen.Has(row, stored);
        if (Counts(cellar, row)) past.Add(entry, early);
        if (early) return;
        if (closing::Changes(*cellar.fold, closing::ReachOf(entry), closing.until_us)) {
          late.push_back({row, Uuid()});
        } else if (entry.has_registered() || entry.has_changed()) {
          late.push_back({row, SubjectOf(entry)});
        }
      });
  if (!status.ok()) return status;

  ClosingCheck check;
  const std::string& digest =
      cellar.fold->records().Find(closing.row)->period_closed().state_digest();
  const auto is_as_closed = [&](const Fold& fold) {
    return HashBytes(fold.StateDigest()) == digest;
  };
  if (!closing.whole) {
    check.state = ClosingCheck::State::kCut;
  } else if (is_as_closed(*past.Now())) {
    return check;
  } else {
    check.state = is_as_closed(*past.WithEarlyNames()) ? ClosingCheck::State::kRenamed
                                                       : ClosingCheck::State::kChanged;
  }
  const bool renamed = check.state == ClosingCheck::State::kRenamed;
  const absl::flat_hash_set<Uuid> named = renamed ? past.Named() : absl::flat_hash_set<Uuid>();
  for (const Late& entry : late) {
    if (renamed ? named.contains(entry.subject) : entry.subject.is_nil())
      check.causes.push_back(entry.row);
  }
  return check;
}

}  // namespace rundlet::client

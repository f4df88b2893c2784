#include "server/service/read_entries.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "server/cellar/loaded_cellar.h"
#include "server/store/journal_store.h"

namespace rundlet::server {

absl::StatusOr<std::vector<v1::Entry>> ReadEntriesAt(CellarTransaction& transaction,
                                                     const Fold& fold,
                                                     absl::Span<const size_t> positions) {
  std::vector<uint64_t> seqs;
  for (const size_t position : positions) {
    seqs.push_back(LoadedCellar::SeqOf(fold.sequence().at(position)));
  }
  const absl::StatusOr<std::vector<JournalRecord>> records =
      JournalStore(transaction).ReadThese(seqs);
  if (!records.ok()) return records.status();
  std::vector<v1::Entry> entries;
  for (const uint64_t seq : seqs) {
    const auto record =
        std::lower_bound(records->begin(), records->end(), seq,
                         [](const JournalRecord& r, uint64_t wanted) { return r.seq < wanted; });
    if (record == records->end() || record->seq != seq) {
      return absl::DataLossError("the journal lacks an entry that was loaded from it");
    }
    absl::StatusOr<v1::Entry> entry = ParseEntry(record->bytes);
    if (!entry.ok()) return absl::DataLossError(entry.status().message());
    entries.push_back(*std::move(entry));
  }
  return entries;
}

absl::StatusOr<v1::Entry> ReadEntryOf(CellarTransaction& transaction, const Fold& fold,
                                      const Uuid& entry_id) {
  const RowId row = fold.sequence().Find(entry_id);
  if (row == kNone) {
    return absl::NotFoundError(absl::StrCat("there is no entry ", entry_id.ToString()));
  }
  absl::StatusOr<std::vector<v1::Entry>> entries =
      ReadEntriesAt(transaction, fold, {fold.sequence().PositionOf(row)});
  if (!entries.ok()) return entries.status();
  return std::move(entries->front());
}

}  // namespace rundlet::server

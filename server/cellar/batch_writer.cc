#include "server/cellar/batch_writer.h"

#include <vector>

#include "core/entry/entry.h"
#include "server/store/journal_store.h"
#include "server/store/projection_rows.h"
#include "server/store/projection_store.h"

namespace rundlet::server {
namespace {

NewRecord RecordOf(const Push& push, const PushedEntry& pushed) {
  return {.entry_id = pushed.entry_id,
          .device_id = push.device.device_id,
          .device_seq = pushed.entry.device_seq(),
          .effective_at_us = pushed.entry.effective_at_us(),
          .kind = KindName(pushed.entry),
          .leaf_hash = pushed.leaf_hash,
          .bytes = pushed.bytes};
}

// Decides all entries, and takes those that pass into the cellar. Returns what is to be written.
std::vector<NewRecord> Judge(absl::Span<Push* const> pushes, LoadedCellar& cellar) {
  std::vector<NewRecord> records;
  for (Push* push : pushes) {
    for (PushedEntry& pushed : push->entries) {
      if (!pushed.decided()) CheckInCellar(push->device, cellar, pushed);
      if (pushed.decided()) continue;
      cellar.Insert(pushed.entry, pushed.leaf_hash);
      pushed.disposition.set_kind(v1::DISPOSITION_KIND_RECORDED);
      pushed.disposition.set_seq(cellar.size());
      records.push_back(RecordOf(*push, pushed));
    }
  }
  return records;
}

}  // namespace

absl::StatusOr<uint64_t> BatchWriter::WriteLocked(CellarTransaction& transaction,
                                                  CachedCellar& cellar,
                                                  absl::Span<Push* const> pushes) {
  JournalStore journal(transaction);
  const absl::StatusOr<uint64_t> size = journal.LockHead();
  if (!size.ok()) return size.status();
  absl::Status status = CatchUp(transaction, *size, cellar);
  if (!status.ok()) return status;

  LoadedCellar& loaded = *cellar.loaded;
  loaded.TrackChanges();
  const std::vector<NewRecord> records = Judge(pushes, loaded);
  if (records.empty()) return *size;
  loaded.Settle();
  status = journal.Append(*size, records, now_());
  if (!status.ok()) return status;
  ProjectionRows rows(loaded.fold());
  rows.AddChanges(loaded.TakeChanges(), static_cast<RowId>(*size));
  status = ProjectionStore(transaction).Write(rows);
  if (!status.ok()) return status;
  status = transaction.Commit();
  if (!status.ok()) return status;
  return *size + records.size();
}

absl::StatusOr<uint64_t> BatchWriter::Write(const Uuid& cellar_id, absl::Span<Push* const> pushes,
                                            absl::Time deadline) {
  absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  const std::shared_ptr<CachedCellar> cellar = cache_.Get(cellar_id);
  size_t bytes = 0;
  absl::StatusOr<uint64_t> size;
  {
    absl::MutexLock lock(&cellar->mutex);
    size = WriteLocked(**transaction, *cellar, pushes);
    // What is loaded may be ahead of the journal now.
    if (!size.ok()) cellar->loaded = nullptr;
    if (cellar->loaded != nullptr) bytes = cellar->loaded->bytes();
  }
  cache_.SetBytes(cellar_id, bytes);
  return size;
}

}  // namespace rundlet::server

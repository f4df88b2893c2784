#include "server/cellar/batch_writer.h"

#include <system_error>
#include <thread>
#include <vector>

#include "absl/functional/function_ref.h"
#include "core/entry/entry.h"
#include "server/cellar/present_devices.h"
#include "server/cellar/signed_push.h"
#include "server/store/journal_store.h"
#include "server/store/projection_rows.h"
#include "server/store/projection_store.h"
#include "server/store/seal_store.h"
#include "server/store/tree_store.h"

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

// Runs both, a large batch's side by side: one waits for the database while the other computes.
void Together(size_t entries, absl::FunctionRef<void()> in_database,
              absl::FunctionRef<void()> in_memory) {
  constexpr size_t kWorthAThread = 200;
  if (entries < kWorthAThread) {
    in_database();
    in_memory();
    return;
  }
  std::thread beside;
  try {
    beside = std::thread([&in_database] { in_database(); });
  } catch (const std::system_error&) {  // no thread to be had
    in_database();
  }
  in_memory();
  if (beside.joinable()) beside.join();
}

// What was loaded has its tiles in the database, unless that is older than they are: a journal of a
// time before there was a tree gets it with its next write. Whether any were written.
absl::StatusOr<bool> WriteMissingTiles(TreeStore& tree, LoadedCellar& loaded) {
  if (!loaded.TakeTilesWereLoaded()) return false;
  const absl::StatusOr<uint64_t> written = tree.Count();
  if (!written.ok()) return written.status();
  uint64_t finished = 0;
  for (int level = 0; evidence::FinishedTiles(loaded.size(), level) > 0; ++level)
    finished += evidence::FinishedTiles(loaded.size(), level);
  if (*written == finished) return false;
  const absl::Status status = tree.Append(loaded.AllTiles());
  if (!status.ok()) return status;
  return true;
}

// What a batch adds to the journal and beside it.
struct Verdict {
  std::vector<NewRecord> records;
  std::vector<v1::Seal> seals;
};

// Decides all entries of those pushes that are not refused, and takes those that pass into the
// cellar. Returns what is to be written.
absl::StatusOr<Verdict> Judge(absl::Span<Push* const> pushes, PresentDevices& devices,
                              LoadedCellar& cellar) {
  Verdict verdict;
  for (Push* push : pushes) {
    devices.BringUp(*push);
    if (!push->refused.ok()) continue;
    for (PushedEntry& pushed : push->entries) {
      if (!pushed.decided()) CheckInCellar(push->device, cellar, pushed);
      if (pushed.decided()) continue;
      cellar.Insert(pushed.entry, pushed.leaf_hash);
      pushed.disposition.set_kind(v1::DISPOSITION_KIND_RECORDED);
      pushed.disposition.set_seq(cellar.size());
      verdict.records.push_back(RecordOf(*push, pushed));
    }
    if (auto seal = SealOf(*push); seal.has_value()) verdict.seals.push_back(*std::move(seal));
    const absl::Status status = devices.TakeKey(*push);
    if (!status.ok()) return status;
  }
  return verdict;
}

}  // namespace

absl::StatusOr<uint64_t> BatchWriter::WriteLocked(CellarTransaction& transaction, uint64_t size,
                                                  CachedCellar& cellar,
                                                  absl::Span<Push* const> pushes) {
  JournalStore journal(transaction);
  absl::Status status = CatchUp(transaction, size, cellar);
  if (!status.ok()) return status;

  LoadedCellar& loaded = *cellar.loaded;
  TreeStore tree(transaction);
  const absl::StatusOr<bool> grew = WriteMissingTiles(tree, loaded);
  if (!grew.ok()) return grew.status();
  loaded.TrackChanges();
  absl::StatusOr<PresentDevices> devices = PresentDevices::Of(transaction, pushes);
  if (!devices.ok()) return devices.status();
  const absl::StatusOr<Verdict> verdict = Judge(pushes, *devices, loaded);
  if (!verdict.ok()) return verdict.status();
  const std::vector<NewRecord>& records = verdict->records;
  if (records.empty()) {
    if (*grew) status = transaction.Commit();
    if (!status.ok()) return status;
    return size;
  }
  ProjectionRows rows(loaded.fold());
  const absl::Time received_at = now_();
  Together(
      records.size(), [&] { status = journal.Append(size, records, received_at); },
      [&] {
        loaded.Settle();
        rows.AddChanges(loaded.TakeChanges(), static_cast<RowId>(size));
      });
  if (!status.ok()) return status;
  status = ProjectionStore(transaction).Write(rows);
  if (status.ok()) status = tree.Append(loaded.TakeTiles());
  if (status.ok()) status = SealStore(transaction).Append(verdict->seals);
  if (!status.ok()) return status;
  status = TimedBy(instruments_.commit, [&] { return transaction.Commit(); });
  if (!status.ok()) return status;
  instruments_.entries.Observe(static_cast<double>(records.size()));
  return size + records.size();
}

absl::StatusOr<uint64_t> BatchWriter::Write(const Uuid& cellar_id, absl::Span<Push* const> pushes,
                                            absl::Time deadline) {
  absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  // The row's lock comes before the mutex: whoever waits for another server's transaction keeps no
  // reader of this one waiting.
  const absl::StatusOr<uint64_t> head =
      TimedBy(instruments_.head_wait, [&] { return JournalStore(**transaction).LockHead(); });
  if (!head.ok()) return head.status();
  const std::shared_ptr<CachedCellar> cellar = cache_.Get(cellar_id);
  size_t bytes = 0;
  absl::StatusOr<uint64_t> size;
  {
    absl::MutexLock lock(&cellar->mutex);
    size = WriteLocked(**transaction, *head, *cellar, pushes);
    // What is loaded may be ahead of the journal now.
    if (!size.ok()) cellar->loaded = nullptr;
    if (cellar->loaded != nullptr) bytes = cellar->loaded->bytes();
  }
  cache_.SetBytes(cellar_id, bytes);
  return size;
}

}  // namespace rundlet::server

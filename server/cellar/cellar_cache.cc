#include "server/cellar/cellar_cache.h"

#include <malloc.h>

#include <utility>
#include <vector>

#include "absl/strings/str_cat.h"
#include "server/cellar/limits.h"

namespace rundlet::server {
namespace {

// A cellar that costs so much more than before was read from the journal, not written to.
constexpr size_t kBytesOfALoad = 500 * kLoadEntries;

}  // namespace

std::shared_ptr<CachedCellar> CellarCache::Get(const Uuid& cellar_id) {
  absl::MutexLock lock(&mutex_);
  const auto [it, fresh] = slots_.try_emplace(cellar_id);
  (fresh ? instruments_.misses : instruments_.hits).Add();
  if (fresh) {
    it->second.cellar = std::make_shared<CachedCellar>();
    it->second.use = uses_.insert(uses_.begin(), cellar_id);
  } else {
    uses_.splice(uses_.begin(), uses_, it->second.use);
  }
  return it->second.cellar;
}

void CellarCache::SetBytes(const Uuid& cellar_id, size_t bytes) {
  std::vector<std::shared_ptr<CachedCellar>> dropped;  // freed after the lock is let go
  bool was_loaded = false;
  {
    absl::MutexLock lock(&mutex_);
    const auto found = slots_.find(cellar_id);
    if (found == slots_.end()) return;
    was_loaded = bytes > found->second.bytes + kBytesOfALoad;
    bytes_ += bytes - found->second.bytes;
    found->second.bytes = bytes;
    for (auto use = uses_.end(); bytes_ > max_bytes_ && use != uses_.begin();) {
      --use;
      const auto slot = slots_.find(*use);
      // Only the cache holds it, and nobody else can come by it while we hold the lock.
      if (slot->second.cellar.use_count() > 1) continue;
      bytes_ -= slot->second.bytes;
      instruments_.dropped.Add();
      dropped.push_back(std::move(slot->second.cellar));
      slots_.erase(slot);
      use = uses_.erase(use);
    }
  }
  // What reading took beside the cellar goes back to the system: here, where nobody waits for us.
  if (was_loaded) malloc_trim(0);
}

size_t CellarCache::cellars() const {
  absl::MutexLock lock(&mutex_);
  return slots_.size();
}

size_t CellarCache::bytes() const {
  absl::MutexLock lock(&mutex_);
  return bytes_;
}

namespace {

// Whether the journal still has what was loaded from it: a database that was set back and has grown
// since has another entry at the last place that we know. If so all is loaded anew.
absl::Status CheckLast(JournalStore& journal, CachedCellar& cellar)
    ABSL_EXCLUSIVE_LOCKS_REQUIRED(cellar.mutex) {
  const uint64_t known = cellar.loaded->size();
  if (known == 0) return absl::OkStatus();
  const absl::StatusOr<std::optional<Hash>> last = journal.LeafAt(known);
  if (!last.ok()) return last.status();
  if (*last != cellar.loaded->chains().leaf_hash(static_cast<RowId>(known - 1))) {
    cellar.loaded = std::make_unique<LoadedCellar>();
  }
  return absl::OkStatus();
}

}  // namespace

absl::Status CatchUp(CellarTransaction& transaction, uint64_t size, CachedCellar& cellar) {
  if (cellar.loaded == nullptr) cellar.loaded = std::make_unique<LoadedCellar>();
  if (cellar.loaded->size() > size) {
    // A database that was set back to an earlier state. What is in memory is not true any more.
    cellar.loaded = std::make_unique<LoadedCellar>();
  }
  JournalStore journal(transaction);
  absl::Status status = CheckLast(journal, cellar);
  while (status.ok() && cellar.loaded->size() < size) {
    absl::StatusOr<std::vector<JournalRecord>> records =
        journal.Read(cellar.loaded->size(), kLoadEntries, kLoadBytes);
    if (!records.ok()) {
      status = records.status();
      break;
    }
    // Entries may have come in behind `size` since it was read; the next reader takes them.
    while (!records->empty() && records->back().seq > size) records->pop_back();
    if (records->empty()) {
      status = absl::DataLossError(absl::StrCat("the journal ends at ", cellar.loaded->size(),
                                                ", but its head says ", size,
                                                "; restore the database from a backup"));
      break;
    }
    status = cellar.loaded->Load(*records);
  }
  if (!status.ok()) {
    cellar.loaded = nullptr;
    return status;
  }
  cellar.loaded->Settle();
  cellar.loaded->TakeChanges();  // whoever wrote those entries wrote the projections
  return absl::OkStatus();
}

absl::Status ReadCellar(CellarTransaction& transaction, CellarCache& cache,
                        absl::FunctionRef<absl::Status(const LoadedCellar&)> read) {
  const absl::StatusOr<uint64_t> size = JournalStore(transaction).ReadHead();
  if (!size.ok()) return size.status();
  const std::shared_ptr<CachedCellar> cellar = cache.Get(transaction.cellar_id());
  {
    absl::ReaderMutexLock lock(&cellar->mutex);
    if (cellar->loaded != nullptr && cellar->loaded->size() >= *size) return read(*cellar->loaded);
  }
  size_t bytes;
  absl::Status result;
  {
    absl::MutexLock lock(&cellar->mutex);
    if (cellar->loaded == nullptr || cellar->loaded->size() < *size) {
      const absl::Status caught_up = CatchUp(transaction, *size, *cellar);
      if (!caught_up.ok()) return caught_up;
    }
    // This once under the exclusive lock: letting it go first might find the cellar dropped.
    result = read(*cellar->loaded);
    bytes = cellar->loaded->bytes();
  }
  cache.SetBytes(transaction.cellar_id(), bytes);
  return result;
}

}  // namespace rundlet::server

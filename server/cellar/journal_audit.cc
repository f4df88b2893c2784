#include "server/cellar/journal_audit.h"

#include <memory>
#include <utility>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/evidence/journal_audit.h"
#include "core/evidence/tiles.h"
#include "server/store/cellar_transaction.h"
#include "server/store/device_store.h"
#include "server/store/journal_store.h"
#include "server/store/seal_store.h"
#include "server/store/tree_store.h"

namespace rundlet::server {
namespace {

constexpr int kEntriesAtOnce = 5'000;
constexpr int64_t kBytesAtOnce = 32 * 1024 * 1024;
constexpr size_t kTilesAtOnce = 2'000;

class Auditor {
 public:
  Auditor(CellarTransaction& transaction, const Uuid& cellar_id, const std::function<void()>& step)
      : journal_(transaction),
        tree_(transaction),
        seals_(transaction),
        devices_(transaction),
        step_(step),
        audit_(cellar_id) {}

  absl::StatusOr<JournalAuditReport> Run(const std::optional<evidence::Checkpoint>& signed_before) {
    const absl::StatusOr<uint64_t> head = journal_.ReadHead();
    if (!head.ok()) return head.status();
    report_.entries = *head;
    if (absl::Status status = ReadEntries(); !status.ok()) return status;
    if (absl::Status status = ReadSeals(); !status.ok()) return status;
    const auto result = audit_.Finish(report_.entries, report_.entries);
    report_.devices = result.devices;
    report_.from_before = result.from_before;
    report_.root = result.root;
    for (const std::string& problem : result.problems) Problem(problem);
    report_.remarks = result.remarks;
    if (absl::Status status = CompareTiles(); !status.ok()) return status;
    if (absl::Status status = CompareKeys(result.keys); !status.ok()) return status;
    if (signed_before.has_value()) CompareWith(*signed_before);
    return std::move(report_);
  }

 private:
  void Problem(std::string text) { report_.problems.push_back(std::move(text)); }

  absl::Status ReadEntries() {
    uint64_t after = 0;
    while (after < report_.entries) {
      const auto records = journal_.Read(after, kEntriesAtOnce, kBytesAtOnce);
      if (!records.ok()) return records.status();
      if (records->empty() || records->front().seq > report_.entries) break;
      const auto columns = journal_.ReadColumns(after, records->back().seq);
      if (!columns.ok()) return columns.status();
      for (size_t i = 0; i < records->size() && (*records)[i].seq <= report_.entries; ++i)
        Take((*records)[i], (*columns)[i]);
      after = records->back().seq;
    }
    return absl::OkStatus();
  }

  void Take(const JournalRecord& record, const JournalColumns& columns) {
    step_();
    leaves_.push_back(record.leaf_hash);
    const v1::Entry* entry = audit_.Take(record.seq, record.bytes, record.leaf_hash);
    if (entry == nullptr) return;
    if (entry->entry_id() != columns.entry_id.bytes() ||
        entry->device_id() != columns.device_id.bytes() ||
        entry->device_seq() != columns.device_seq ||
        entry->effective_at_us() != columns.effective_at_us || KindName(*entry) != columns.kind)
      Problem(absl::StrCat("the columns of place ", record.seq,
                           " of the journal do not say what its bytes say"));
  }

  absl::Status ReadSeals() {
    std::vector<v1::Seal> all;
    for (uint64_t after = 0; after < report_.entries;) {
      uint64_t upto = report_.entries;
      absl::StatusOr<std::vector<v1::Seal>> seals = seals_.Read(after, &upto, kBytesAtOnce);
      if (absl::IsDataLoss(seals.status())) {
        Problem(std::string(seals.status().message()));
        break;
      }
      if (!seals.ok()) return seals.status();
      for (v1::Seal& seal : *seals) all.push_back(std::move(seal));
      after = upto;
    }
    report_.seals = all.size();
    audit_.TakeSeals(std::move(all), 0);
    return absl::OkStatus();
  }

  // The tree that is kept against the tree over what was read.
  absl::Status CompareTiles() {
    std::vector<evidence::Tile> tiles;
    evidence::TileCutter cutter;
    for (const Hash& leaf : leaves_) cutter.Append(leaf, tiles);
    const absl::StatusOr<uint64_t> kept = tree_.Count();
    if (!kept.ok()) return kept.status();
    report_.tiles = *kept;
    // More may have come since.
    if (*kept < tiles.size())
      Problem(absl::StrCat("the tree over the journal has ", *kept, " parts of ", tiles.size(),
                           ": rundletd rebuild"));
    for (size_t from = 0; from < tiles.size(); from += kTilesAtOnce) {
      const auto part = absl::MakeConstSpan(tiles).subspan(from, kTilesAtOnce);
      std::vector<evidence::TileId> ids;
      for (const evidence::Tile& tile : part) ids.push_back(tile.id);
      const auto hashes = tree_.Read(ids, leaves_.size());
      if (!hashes.ok()) return hashes.status();
      for (const evidence::Tile& tile : part) {
        const auto found = hashes->find(tile.id);
        if (found == hashes->end() || found->second != tile.hashes)
          Problem(absl::StrCat("the tree's part ", tile.id.index, " of level ", tile.id.level,
                               " is not that of the journal"));
      }
    }
    return absl::OkStatus();
  }

  // The keys by which the server checks what is handed in, against those that the journal says.
  absl::Status CompareKeys(const evidence::KeyRing& keys) {
    const auto devices = devices_.List();
    if (!devices.ok()) return devices.status();
    for (const Device& device : *devices) {
      const evidence::PublicKey* said =
          keys.For(device.device_id, report_.entries + 1, report_.entries + 1);
      if (said != nullptr && (!device.public_key.has_value() || *device.public_key != *said))
        Problem(absl::StrCat("the device ", device.device_id.ToString(),
                             " has another key in the database than it says in the journal"));
    }
    return absl::OkStatus();
  }

  void CompareWith(const evidence::Checkpoint& signed_before) {
    if (signed_before.size > leaves_.size())
      return Problem(absl::StrCat("the journal has ", leaves_.size(), " entries, and had ",
                                  signed_before.size, " when the checkpoint was signed"));
    evidence::Frontier tree;
    for (uint64_t i = 0; i < signed_before.size; ++i) tree.Append(leaves_[i]);
    if (tree.Root() != signed_before.root)
      Problem(absl::StrCat("the journal does not begin with the ", signed_before.size,
                           " entries that the checkpoint was signed of"));
  }

  JournalStore journal_;
  TreeStore tree_;
  SealStore seals_;
  DeviceStore devices_;
  const std::function<void()>& step_;
  evidence::JournalAudit audit_;
  std::vector<Hash> leaves_;  // in the order of the journal
  JournalAuditReport report_;
};

}  // namespace

absl::StatusOr<JournalAuditReport> AuditJournal(
    ConnectionPool& pool, const Uuid& cellar_id,
    const std::optional<evidence::Checkpoint>& signed_before, const std::function<void()>& step,
    absl::Time deadline) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool, cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  return Auditor(**transaction, cellar_id, step).Run(signed_before);
}

}  // namespace rundlet::server

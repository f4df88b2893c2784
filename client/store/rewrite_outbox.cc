#include "client/store/rewrite_outbox.h"

#include "absl/strings/str_cat.h"
#include "client/store/last_saved.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

class OutboxRewrite {
 public:
  OutboxRewrite(Store& store, const Rewriting& rewriting)
      : store_(store), rewriting_(rewriting), rewriter_(rewriting.device.writer(), ChainHead()) {}

  absl::StatusOr<RewriteCounts> Run();

 private:
  absl::StatusOr<std::vector<StoredEntry>> ReadOutbox();
  // The end of the new chain, as far as it is recorded.
  absl::StatusOr<ChainHead> RecordedHead();
  absl::Status WriteOwn(absl::Span<const std::pair<Uuid, v1::Entry>> drafts);
  absl::Status WriteAll(absl::Span<const StoredEntry> outbox);
  absl::Status Replace();
  absl::Status UpdateDevice();

  Store& store_;
  const Rewriting& rewriting_;
  Rewriter rewriter_;
  std::vector<WrittenEntry> written_;
  RewriteCounts counts_;
};

absl::StatusOr<std::vector<StoredEntry>> OutboxRewrite::ReadOutbox() {
  Query query(store_.db(), absl::StrCat("SELECT ", kEntryColumns,
                                        " FROM entry WHERE state = 'outbox' ORDER BY device_seq"));
  Sha256 sha;
  std::vector<StoredEntry> outbox;
  while (query.Next()) {
    outbox.push_back(ReadStoredEntry(query, sha));
    if (!outbox.back().whole)
      return absl::DataLossError(
          "an entry that waits here is damaged: save what is whole first, with: rundlet repair");
  }
  if (!query.status().ok()) return query.status();
  return outbox;
}

absl::StatusOr<ChainHead> OutboxRewrite::RecordedHead() {
  ChainHead head = rewriting_.journal.own;
  if (rewriting_.device.device_id != store_.device().device_id) return head;
  // What a server has lost, as after a restore, comes back to it from here.
  Query query(store_.db(), absl::StrCat("SELECT ", kEntryColumns,
                                        " FROM entry WHERE state = 'recorded' AND device_seq > ? "
                                        "ORDER BY device_seq DESC LIMIT 1"));
  Sha256 sha;
  if (query.Bind(static_cast<int64_t>(head.device_seq)).Next()) {
    const StoredEntry last = ReadStoredEntry(query, sha);
    head = {.device_seq = last.device_seq, .hash = last.hash};
  }
  if (!query.status().ok()) return query.status();
  return head;
}

absl::Status OutboxRewrite::WriteOwn(absl::Span<const std::pair<Uuid, v1::Entry>> drafts) {
  for (const auto& [id, draft] : drafts) {
    auto written = rewriter_.Write(id, draft);
    if (!written.ok()) return written.status();
    written_.push_back(*std::move(written));
  }
  return absl::OkStatus();
}

absl::Status OutboxRewrite::WriteAll(absl::Span<const StoredEntry> outbox) {
  if (absl::Status s = WriteOwn(rewriting_.first); !s.ok()) return s;
  for (const StoredEntry& stored : outbox) {
    v1::Entry old;
    if (!old.ParseFromString(stored.bytes))
      return absl::DataLossError(
          absl::StrCat("entry ", stored.id.ToString(), " cannot be read: rundlet repair"));
    if (old.has_device_enrolled()) continue;
    if (const auto known = rewriting_.journal.entries.find(stored.id);
        known != rewriting_.journal.entries.end()) {
      // What amends it stands at the place that it has in the journal.
      if (!old.has_amendment()) rewriter_.Moved(PlaceOf(old), known->second);
      ++counts_.in_journal;
      continue;
    }
    auto written = rewriter_.Rewrite(stored.bytes);
    if (!written.ok()) return written.status();
    written_.push_back(*std::move(written));
    ++counts_.rewritten;
  }
  return WriteOwn(rewriting_.last);
}

absl::Status OutboxRewrite::Replace() {
  Db& db = store_.db();
  if (absl::Status s = db.Exec("DELETE FROM entry WHERE state = 'outbox'"); !s.ok()) return s;
  // Running numbers are this device's own alone.
  if (rewriting_.device.device_id != store_.device().device_id) {
    if (absl::Status s = db.Exec("UPDATE entry SET device_seq = NULL WHERE state = 'recorded'");
        !s.ok())
      return s;
  }
  Query insert(
      db,
      "INSERT INTO entry (entry_id, bytes, hash, device_seq, state) VALUES (?, ?, ?, ?, 'outbox')");
  for (const WrittenEntry& entry : written_) {
    insert.Bind(entry.entry.entry_id())
        .Bind(entry.bytes)
        .Bind(HashBytes(entry.hash))
        .Bind(static_cast<int64_t>(entry.entry.device_seq()));
    if (absl::Status s = insert.Run(); !s.ok()) return s;
  }
  return UpdateDevice();
}

absl::Status OutboxRewrite::UpdateDevice() {
  const Device& device = rewriting_.device;
  if (device.cellar_id != store_.device().cellar_id) {
    // What was known of another server.
    if (absl::Status s = store_.db().Exec("DELETE FROM meta WHERE name <> 'generation'"); !s.ok())
      return s;
  }
  const ChainHead& head = rewriter_.head();
  Query move(store_.db(), "UPDATE device SET chain_seq = ?, chain_hash = ?, needed_seq = 0");
  if (absl::Status s =
          move.Bind(static_cast<int64_t>(head.device_seq)).Bind(HashBytes(head.hash)).Run();
      !s.ok())
    return s;
  if (absl::Status s = store_.UpdateDevice(device, 0); !s.ok()) return s;
  const auto generation = store_.Get(MetaKey::kGeneration);
  if (!generation.ok()) return generation.status();
  return store_.Set(MetaKey::kGeneration, *generation + 1);
}

absl::StatusOr<RewriteCounts> OutboxRewrite::Run() {
  auto transaction = Transaction::Begin(store_.db());
  if (!transaction.ok()) return transaction.status();
  if (absl::Status s = CheckMayBecome(store_, rewriting_.device.cellar_id); !s.ok()) return s;
  const auto outbox = ReadOutbox();
  if (!outbox.ok()) return outbox.status();
  const auto head = RecordedHead();
  if (!head.ok()) return head.status();
  rewriter_ = Rewriter(rewriting_.device.writer(), *head);
  if (absl::Status s = WriteAll(*outbox); !s.ok()) return s;
  if (absl::Status s = Replace(); !s.ok()) return s;
  // The running numbers may go back, and nothing is lost by it.
  if (absl::Status s = ForgetLastSaved(store_.home()); !s.ok()) return s;
  if (absl::Status s = transaction->Commit(); !s.ok()) return s;
  WriteLastSaved(store_.home(), rewriting_.device.device_id, rewriter_.head().device_seq);
  return counts_;
}

}  // namespace

absl::Status CheckMayBecome(Store& store, const Uuid& cellar_id) {
  const auto counts = store.Count();
  if (!counts.ok()) return counts.status();
  const Device& device = store.device();
  const bool of_archive = device.server.empty() && device.role == "guest";
  if (counts->recorded == 0 || (device.cellar_id == cellar_id && !of_archive))
    return absl::OkStatus();
  return absl::FailedPreconditionError(absl::StrCat(
      "the book in ", store.home().dir(), " is ", of_archive ? "a copy of" : "one of", " '",
      device.cellar_name, of_archive ? "', read from an archive" : "', with entries of its journal",
      ", and stays that. Join with a directory of its own: RUNDLET_HOME=DIRECTORY rundlet join "
      "..."));
}

absl::StatusOr<RewriteCounts> RewriteOutbox(const StoreHome& home, const Rewriting& rewriting) {
  auto store = Store::Open(home);
  if (!store.ok()) return store.status();
  return OutboxRewrite(*store, rewriting).Run();
}

}  // namespace rundlet::client

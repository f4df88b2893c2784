#include "client/store/sync_store.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/store/seal_store.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

constexpr char kBumpGeneration[] =
    "INSERT INTO meta (name, value) VALUES ('generation', 1) ON CONFLICT (name) DO UPDATE SET "
    "value = value + 1";

}  // namespace

absl::StatusOr<SyncStore::Envelope> SyncStore::ReadEnvelope(const PulledRow& row) {
  const absl::Status broken = absl::DataLossError(absl::StrCat(
      "what the server sent at place ", row.seq, " is no entry: its journal is damaged"));
  v1::Entry entry;
  if (!entry.ParseFromString(row.bytes)) return broken;
  const auto id = Uuid::FromBytes(entry.entry_id());
  const auto device_id = Uuid::FromBytes(entry.device_id());
  if (!id.ok() || !device_id.ok() || row.seq == 0) return broken;
  return Envelope{.id = *id,
                  .device_id = *device_id,
                  .device_seq = entry.device_seq(),
                  .new_key = entry.device_enrolled().public_key()};
}

absl::StatusOr<std::vector<StoredEntry>> SyncStore::OutboxPage(uint64_t after_device_seq,
                                                               size_t max_entries, size_t max_bytes,
                                                               int64_t* damaged) {
  Query query(
      store_.db(),
      absl::StrCat("SELECT ", kEntryColumns,
                   " FROM entry WHERE state = 'outbox' AND device_seq > ? ORDER BY device_seq"));
  query.Bind(static_cast<int64_t>(after_device_seq));
  std::vector<StoredEntry> page;
  size_t bytes = 0;
  while (page.size() < max_entries && query.Next()) {
    StoredEntry entry = ReadStoredEntry(query, sha_);
    if (!entry.whole) {
      ++*damaged;
      continue;
    }
    bytes += entry.bytes.size();
    if (bytes > max_bytes && !page.empty()) break;
    page.push_back(std::move(entry));
  }
  if (!query.status().ok()) return query.status();
  return page;
}

absl::Status SyncStore::TakeAnswers(absl::Span<const StoredEntry> page,
                                    absl::Span<const PushAnswer> answers) {
  if (page.size() != answers.size()) {
    return absl::InternalError(
        absl::StrCat("the server answered ", answers.size(), " of ", page.size(), " entries"));
  }
  auto transaction = Transaction::Begin(store_.db());
  if (!transaction.ok()) return transaction.status();
  Query record(
      store_.db(),
      "UPDATE entry SET state = 'recorded', seq = ? WHERE local_no = ? AND state = 'outbox' "
      "AND NOT EXISTS (SELECT 1 FROM entry AS other WHERE other.seq = ?)");
  Query give_back(store_.db(),
                  "UPDATE entry SET state = 'returned', reason = ?, message = ? WHERE local_no = ? "
                  "AND state = 'outbox'");
  bool any_returned = false;
  for (size_t i = 0; i < page.size(); ++i) {
    const PushAnswer& answer = answers[i];
    switch (answer.kind) {
      case PushAnswer::Kind::kRecorded: {
        const auto seq = static_cast<int64_t>(answer.seq);
        // Where another entry is known at that place, the pull that follows finds out why; until
        // then it waits.
        if (absl::Status s = record.Bind(seq).Bind(page[i].local_no).Bind(seq).Run(); !s.ok())
          return s;
        break;
      }
      case PushAnswer::Kind::kReturned:
        any_returned = true;
        give_back.BindText(answer.reason).BindText(answer.message).Bind(page[i].local_no);
        if (absl::Status s = give_back.Run(); !s.ok()) return s;
        break;
      case PushAnswer::Kind::kNotYet:
        break;
    }
  }
  if (any_returned) {
    if (absl::Status s = store_.db().Exec(kBumpGeneration); !s.ok()) return s;
  }
  return transaction->Commit();
}

absl::StatusOr<PulledCounts> SyncStore::TakePage(absl::Span<const PulledRow> rows,
                                                 uint64_t journal_size,
                                                 absl::Span<const v1::Seal> seals) {
  auto transaction = Transaction::Begin(store_.db());
  if (!transaction.ok()) return transaction.status();
  PulledCounts counts;
  SealStore kept(store_.db());
  for (const PulledRow& row : rows) {
    const auto envelope = ReadEnvelope(row);
    if (!envelope.ok()) return envelope.status();
    if (absl::Status status = TakeRow(row, *envelope, counts); !status.ok()) return status;
    if (envelope->new_key.empty()) continue;
    if (absl::Status s = kept.KeepKey(envelope->device_id, row.seq, envelope->new_key); !s.ok())
      return s;
  }
  for (const v1::Seal& seal : seals) {
    if (rows.empty() || seal.last_seq() < rows.front().seq || seal.last_seq() > rows.back().seq)
      return absl::DataLossError("the server sent signatures of entries that it did not send");
  }
  if (absl::Status status = kept.Keep(seals); !status.ok()) return status;
  if (!rows.empty()) {
    if (absl::Status s = store_.Set(MetaKey::kLastSeq, static_cast<int64_t>(rows.back().seq));
        !s.ok())
      return s;
  }
  if (absl::Status s = store_.Set(MetaKey::kJournalSize, static_cast<int64_t>(journal_size));
      !s.ok())
    return s;
  if (counts.mended + counts.returned > 0) {
    if (absl::Status s = store_.db().Exec(kBumpGeneration); !s.ok()) return s;
  }
  if (absl::Status status = transaction->Commit(); !status.ok()) return status;
  return counts;
}

absl::Status SyncStore::CheckNoneMissing(uint64_t journal_size) {
  Query placed(store_.db(), "SELECT count(*) FROM entry WHERE seq IS NOT NULL AND seq <= ?");
  if (!placed.Bind(static_cast<int64_t>(journal_size)).Next()) return placed.status();
  if (static_cast<uint64_t>(placed.Int(0)) == journal_size) return absl::OkStatus();
  return absl::FailedPreconditionError(absl::StrCat("of the journal's ", journal_size,
                                                    " entries only ", placed.Int(0), " are here"));
}

absl::StatusOr<std::optional<StoredEntry>> SyncStore::FindKnown(const PulledRow& row,
                                                                const Uuid& id) {
  // Each by an index of its own: one query for both would look through the whole book.
  Query counting(store_.db(), absl::StrCat("SELECT ", kEntryColumns,
                                           " FROM entry WHERE entry_id = ? AND state <> "
                                           "'returned'"));
  if (counting.Bind(id.bytes()).Next()) return ReadStoredEntry(counting, sha_);
  if (!counting.status().ok()) return counting.status();
  // An entry that was returned and is in the journal after all comes before one that is new here.
  Query returned(store_.db(), absl::StrCat("SELECT ", kEntryColumns,
                                           " FROM entry WHERE entry_id = ? AND state = 'returned' "
                                           "AND bytes = ? LIMIT 1"));
  if (returned.Bind(id.bytes()).Bind(row.bytes).Next()) return ReadStoredEntry(returned, sha_);
  if (!returned.status().ok()) return returned.status();
  return std::nullopt;
}

absl::Status SyncStore::TakeRow(const PulledRow& row, const Envelope& envelope,
                                PulledCounts& counts) {
  const bool own = envelope.device_id == store_.device().device_id;
  Query at_place(store_.db(), "SELECT entry_id FROM entry WHERE seq = ?");
  if (at_place.Bind(static_cast<int64_t>(row.seq)).Next() &&
      at_place.Bytes(0) != envelope.id.bytes()) {
    return absl::FailedPreconditionError(
        absl::StrCat("place ", row.seq, " of the journal held another entry before"));
  }
  if (!at_place.status().ok()) return at_place.status();

  const auto known = FindKnown(row, envelope.id);
  if (!known.ok()) return known.status();
  if (!known->has_value()) return Insert(row, envelope.id, own ? envelope.device_seq : 0, counts);
  const StoredEntry& here = **known;
  if (here.state == EntryState::kRecorded && here.seq != 0 && here.seq != row.seq) {
    return absl::FailedPreconditionError(absl::StrCat(
        "what stood at place ", here.seq, " of the journal stands at place ", row.seq, " now"));
  }
  if (here.bytes == row.bytes || !here.whole) {
    if (!here.whole) ++counts.mended;
    Query record(store_.db(),
                 "UPDATE entry SET state = 'recorded', seq = ?, bytes = ?, hash = ?, "
                 "received_at_us = nullif(?, 0), reason = NULL, message = NULL WHERE local_no = ?");
    record.Bind(static_cast<int64_t>(row.seq))
        .Bind(row.bytes)
        .Bind(HashBytes(LeafHash(sha_, row.bytes)))
        .Bind(row.received_at_us);
    if (here.state == EntryState::kReturned) ++counts.mended;
    return record.Bind(here.local_no).Run();
  }
  if (here.state == EntryState::kRecorded) {
    return absl::DataLossError(absl::StrCat(
        "the server and this device have different bytes for entry ", here.id.ToString(),
        ": one of the two was changed. See which: rundlet audit here and on another "
        "device, and ask who runs the server"));
  }
  if (absl::Status s = GiveBack(here, counts); !s.ok()) return s;
  return Insert(row, envelope.id, own ? envelope.device_seq : 0, counts);
}

absl::Status SyncStore::GiveBack(const StoredEntry& rival, PulledCounts& counts) {
  Query give_back(
      store_.db(),
      "UPDATE entry SET state = 'returned', seq = NULL, reason = 'ID_REUSED', message = "
      "'the journal has another entry under its id or running number' WHERE local_no = ?");
  ++counts.returned;
  return give_back.Bind(rival.local_no).Run();
}

absl::Status SyncStore::MakeRoom(uint64_t device_seq, PulledCounts& counts) {
  Query query(store_.db(),
              absl::StrCat("SELECT ", kEntryColumns,
                           " FROM entry WHERE device_seq = ? AND state <> 'returned'"));
  if (!query.Bind(static_cast<int64_t>(device_seq)).Next()) return query.status();
  const StoredEntry rival = ReadStoredEntry(query, sha_);
  query.Reset();
  if (!rival.whole) {
    ++counts.mended;
    return Query(store_.db(), "DELETE FROM entry WHERE local_no = ?").Bind(rival.local_no).Run();
  }
  if (rival.seq != 0) {
    return absl::FailedPreconditionError(absl::StrCat(
        "the journal held another entry under number ", device_seq, " of this device"));
  }
  return GiveBack(rival, counts);
}

absl::Status SyncStore::Insert(const PulledRow& row, const Uuid& id, uint64_t own_device_seq,
                               PulledCounts& counts) {
  const Hash hash = LeafHash(sha_, row.bytes);
  const auto number = static_cast<int64_t>(own_device_seq);
  ++counts.fresh;
  if (own_device_seq > 0) {
    // Ours, and not here: this store is older than what the device wrote since, or was made anew.
    // What was written here under the same number meanwhile cannot be recorded any more.
    if (absl::Status s = MakeRoom(own_device_seq, counts); !s.ok()) return s;
  }
  Query insert(store_.db(),
               "INSERT INTO entry (entry_id, bytes, hash, device_seq, seq, state, received_at_us) "
               "VALUES (?, ?, ?, nullif(?, 0), ?, 'recorded', nullif(?, 0))");
  insert.Bind(id.bytes())
      .Bind(row.bytes)
      .Bind(HashBytes(hash))
      .Bind(number)
      .Bind(static_cast<int64_t>(row.seq))
      .Bind(row.received_at_us);
  if (absl::Status s = insert.Run(); !s.ok() || own_device_seq == 0) return s;
  Query move(store_.db(), "UPDATE device SET chain_seq = ?, chain_hash = ? WHERE chain_seq < ?");
  return move.Bind(number).Bind(HashBytes(hash)).Bind(number).Run();
}

absl::StatusOr<std::string> SyncStore::BytesAt(uint64_t seq) {
  Query query(store_.db(), absl::StrCat("SELECT ", kEntryColumns, " FROM entry WHERE seq = ?"));
  if (!query.Bind(static_cast<int64_t>(seq)).Next()) {
    if (!query.status().ok()) return query.status();
    return std::string();
  }
  const StoredEntry entry = ReadStoredEntry(query, sha_);
  return entry.whole ? entry.bytes : std::string();
}

absl::StatusOr<bool> SyncStore::NumbersAreTaken() {
  Query query(store_.db(),
              "SELECT EXISTS (SELECT 1 FROM entry AS ours WHERE ours.state = 'returned' AND "
              "ours.reason IN ('ID_REUSED', 'CHAIN_BROKEN') AND NOT EXISTS (SELECT 1 FROM entry AS "
              "theirs WHERE theirs.entry_id = ours.entry_id AND theirs.state = 'recorded' AND "
              "theirs.device_seq IS NULL))");
  const bool taken = query.Next() && query.Int(0) != 0;
  if (!query.status().ok()) return query.status();
  return taken;
}

absl::StatusOr<uint64_t> SyncStore::HighestRecordedOwn() {
  Query query(store_.db(),
              "SELECT max(device_seq) FROM entry WHERE state = 'recorded' AND seq IS NOT NULL");
  const int64_t highest = query.Next() ? query.Int(0) : 0;
  if (!query.status().ok()) return query.status();
  return static_cast<uint64_t>(highest);
}

absl::Status SyncStore::BeginRefetch() {
  auto transaction = Transaction::Begin(store_.db());
  if (!transaction.ok()) return transaction.status();
  if (absl::Status s = store_.db().Exec("UPDATE entry SET seq = NULL WHERE seq IS NOT NULL");
      !s.ok())
    return s;
  if (absl::Status s = SealStore(store_.db()).Forget(); !s.ok()) return s;
  for (const MetaKey key : {MetaKey::kLastSeq, MetaKey::kSealedUpTo}) {
    if (absl::Status s = store_.Set(key, 0); !s.ok()) return s;
  }
  if (absl::Status s = store_.Set(MetaKey::kRefetching, 1); !s.ok()) return s;
  return transaction->Commit();
}

absl::Status SyncStore::DropUnreadable() {
  std::vector<int64_t> unreadable;
  {
    Query query(store_.db(), absl::StrCat("SELECT ", kEntryColumns,
                                          " FROM entry WHERE state = 'recorded' AND seq IS NULL"));
    while (query.Next()) {
      if (const StoredEntry entry = ReadStoredEntry(query, sha_); !entry.whole)
        unreadable.push_back(entry.local_no);
    }
    if (!query.status().ok()) return query.status();
  }
  Query drop(store_.db(), "DELETE FROM entry WHERE local_no = ?");
  for (const int64_t local_no : unreadable) {
    if (absl::Status s = drop.Bind(local_no).Run(); !s.ok()) return s;
  }
  return absl::OkStatus();
}

absl::StatusOr<SyncStore::Lost> SyncStore::EndRefetch() {
  auto transaction = Transaction::Begin(store_.db());
  if (!transaction.ok()) return transaction.status();
  if (absl::Status s = DropUnreadable(); !s.ok()) return s;
  Lost lost;
  if (absl::Status s = store_.db().Exec(
          "UPDATE entry SET state = 'outbox' WHERE state = 'recorded' AND seq IS NULL "
          "AND device_seq IS NOT NULL");
      !s.ok()) {
    return s;
  }
  lost.own = store_.db().changes();
  {
    Query others(store_.db(),
                 "SELECT count(*) FROM entry WHERE state = 'recorded' AND seq IS NULL");
    if (others.Next()) lost.others = others.Int(0);
    if (!others.status().ok()) return others.status();
  }
  if (absl::Status s = store_.Set(MetaKey::kRefetching, 0); !s.ok()) return s;
  if (absl::Status s = store_.db().Exec(kBumpGeneration); !s.ok()) return s;
  if (absl::Status s = transaction->Commit(); !s.ok()) return s;
  return lost;
}

}  // namespace rundlet::client

#include "client/sync/syncer.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/store/device_key.h"
#include "client/sync/seals.h"
#include "client/sync/witness.h"
#include "core/evidence/seal.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::client {
namespace {

// What one push may hold at most.
constexpr size_t kMaxPushEntries = 1000;
constexpr size_t kMaxPushBytes = 3 * 1024 * 1024;

// Two that write under one token give out the same running numbers.
constexpr char kTokenTwice[] =
    "the server has other entries under running numbers of this device: is its token in use on two "
    "machines? Each needs one of its own; see: rundlet held";

// Whether the next call would fare no better.
bool IsOfTheConnection(const absl::Status& status) {
  return absl::IsUnavailable(status) || absl::IsDeadlineExceeded(status) ||
         absl::IsUnauthenticated(status);
}

}  // namespace

absl::Status Syncer::CheckWhoWeAre(const Remote::Who& who) const {
  const Device& ours = store_.device();
  if (who.device.cellar_id != ours.cellar_id) {
    return absl::FailedPreconditionError(
        absl::StrCat("the token is for the cellar '", who.device.cellar_name,
                     "', and this is the book of '", ours.cellar_name,
                     "': nothing was sent. Join the other one with a RUNDLET_HOME of its own"));
  }
  if (who.device.device_id != ours.device_id || who.device.member_id != ours.member_id) {
    return absl::FailedPreconditionError(absl::StrCat(
        "the token is for ", who.device.member_name, "'s device '", who.device.device_name,
        "', and this is the book of another one: nothing was sent. Join with a RUNDLET_HOME of its "
        "own"));
  }
  return absl::OkStatus();
}

absl::StatusOr<bool> Syncer::Refetching() {
  const auto refetching = store_.Get(MetaKey::kRefetching);
  if (!refetching.ok()) return refetching.status();
  return *refetching != 0;
}

absl::Status Syncer::Run(bool repair, int64_t now_us, SyncResult& result) {
  const absl::Status status = Exchange(repair, now_us, result);
  // Whatever came is in the book, also where the sync was cut off: so it is held to its signatures.
  const absl::Status checked = CheckSeals(store_, /*complete=*/status.ok(), result.alarms);
  if (!status.ok()) return status;
  if (!checked.ok()) return checked;
  if (absl::Status s = Witness(store_, remote_, now_us).Check(result.alarms); !s.ok()) return s;
  return store_.Set(MetaKey::kLastSyncUs, now_us);
}

absl::Status Syncer::Exchange(bool repair, int64_t now_us, SyncResult& result) {
  const auto who = remote_.GetDevice();
  if (!who.ok()) return who.status();
  if (absl::Status status = CheckWhoWeAre(*who); !status.ok()) return status;
  Device device = who->device;
  device.server = store_.device().server;
  if (absl::Status status = store_.UpdateDevice(device, who->last_device_seq); !status.ok())
    return status;

  expected_key_ = who->public_key;

  const auto acknowledged = sync_store_.HighestRecordedOwn();
  if (!acknowledged.ok()) return acknowledged.status();
  // Pushing to a server that lost some of our entries would have the later ones returned for want
  // of the earlier.
  if (repair || *acknowledged > who->last_device_seq) {
    if (absl::Status status = sync_store_.BeginRefetch(); !status.ok()) return status;
  }
  const auto refetching = Refetching();
  if (!refetching.ok()) return refetching.status();
  if (*refetching) {
    if (absl::Status status = Refetch(result); !status.ok()) return status;
  }
  // What cannot be sent must not keep from us what the others wrote.
  const absl::Status pushed = PushAll(result);
  if (!pushed.ok() && IsOfTheConnection(pushed)) return pushed;
  if (absl::Status status = TellWhatWaits(now_us); !status.ok()) return status;
  absl::Status pulled = PullAll(result);
  if (absl::IsFailedPrecondition(pulled)) {
    if (absl::Status status = sync_store_.BeginRefetch(); !status.ok()) return status;
    pulled = Refetch(result);
    if (pulled.ok()) pulled = PushAll(result);
    // What was just pushed has its place; the next sync pulls on from there.
  }
  if (result.numbers_taken && pulled.ok()) {
    const auto taken = sync_store_.NumbersAreTaken();
    if (!taken.ok()) return taken.status();
    if (*taken) result.alarms.push_back(kTokenTwice);
  }
  if (!pulled.ok()) return pulled;
  return pushed;
}

absl::Status Syncer::Refetch(SyncResult& result) {
  if (absl::Status status = PullAll(result); !status.ok()) {
    if (!absl::IsFailedPrecondition(status)) return status;
    return absl::DataLossError(
        absl::StrCat("the server's journal changes while it is fetched: ", status.message()));
  }
  const auto lost = sync_store_.EndRefetch();
  if (!lost.ok()) return lost.status();
  if (lost->own > 0) {
    result.alarms.push_back(
        absl::StrCat("the server has lost ", lost->own,
                     " entries of this device that it had acknowledged (was it restored from a "
                     "backup?); they are sent again now"));
  }
  if (lost->others > 0) {
    result.alarms.push_back(absl::StrCat(
        "the server has lost ", lost->others,
        " entries of other devices; they are kept here, and come back to it when those "
        "devices sync"));
  }
  return absl::OkStatus();
}

absl::StatusOr<std::string> Syncer::Sign(absl::Span<const StoredEntry> page) const {
  const auto key = DeviceKeyFor(store_.home(), expected_key_);
  // The server says what it thinks of that.
  if (absl::IsNotFound(key.status())) return std::string();
  if (!key.ok()) return key.status();
  std::vector<Hash> leaves;
  leaves.reserve(page.size());
  for (const StoredEntry& entry : page) leaves.push_back(entry.hash);
  const Device& device = store_.device();
  return evidence::SignSeal(evidence::SealOf(device.cellar_id, device.device_id, leaves), *key);
}

absl::Status Syncer::TellWhatWaits(int64_t now_us) {
  int64_t damaged = 0;
  const auto oldest = sync_store_.OutboxPage(0, 1, 1, &damaged);
  if (!oldest.ok()) return oldest.status();
  v1::Entry entry;
  if (oldest->empty() || !entry.ParseFromString(oldest->front().bytes)) {
    remote_.TellOldestWaiting(0);
  } else {
    remote_.TellOldestWaiting(std::max<int64_t>(1, now_us - entry.written_at_us()));
  }
  return absl::OkStatus();
}

void Syncer::NoteNewKey(absl::Span<const StoredEntry> page, absl::Span<const PushAnswer> answers) {
  v1::Entry entry;
  for (size_t i = 0; i < page.size(); ++i) {
    if (answers[i].kind == PushAnswer::Kind::kRecorded && entry.ParseFromString(page[i].bytes) &&
        entry.has_device_enrolled())
      expected_key_ = entry.device_enrolled().public_key();
  }
}

absl::Status Syncer::PushAll(SyncResult& result) {
  uint64_t after = 0;
  int64_t damaged = 0;
  int64_t done = 0, all = 0;
  while (true) {
    const auto page = sync_store_.OutboxPage(after, kMaxPushEntries, kMaxPushBytes, &damaged);
    if (!page.ok()) return page.status();
    if (page->empty()) break;
    if (done == 0) {
      const auto counts = store_.Count();
      if (!counts.ok()) return counts.status();
      all = counts->outbox;
    }
    const auto signature = Sign(*page);
    if (!signature.ok()) return signature.status();
    const auto answers = remote_.Push(*page, *signature);
    if (!answers.ok()) return answers.status();
    if (absl::Status status = sync_store_.TakeAnswers(*page, *answers); !status.ok()) return status;
    NoteNewKey(*page, *answers);
    for (const PushAnswer& answer : *answers) {
      ++(answer.kind == PushAnswer::Kind::kRecorded   ? result.sent
         : answer.kind == PushAnswer::Kind::kReturned ? result.returned
                                                      : result.not_yet);
      result.numbers_taken = result.numbers_taken || IsOfNumbers(answer.reason);
    }
    after = page->back().device_seq;
    done += static_cast<int64_t>(page->size());
    watch_("sent", done, all);
  }
  if (damaged > 0) {
    result.alarms.push_back(absl::StrCat(
        damaged, " entries that wait here are damaged and cannot be sent: enter them anew"));
  }
  return absl::OkStatus();
}

absl::Status Syncer::CheckPage(const Remote::Page& page, uint64_t after, bool overlaps) {
  uint64_t expected = after + 1;
  for (const PulledRow& row : page.rows) {
    if (row.seq != expected++) {
      return absl::DataLossError(absl::StrCat("the server sent place ", row.seq,
                                              " of the journal after ", expected - 2,
                                              ": something is missing between"));
    }
  }
  if (page.rows.empty() && after < page.journal_size) {
    return absl::DataLossError(
        absl::StrCat("the server sent nothing of its journal after place ", after));
  }
  if (!overlaps) return absl::OkStatus();
  // The last entry that we know must still stand where it stood.
  const auto ours = sync_store_.BytesAt(after + 1);
  if (!ours.ok()) return ours.status();
  if (page.rows.empty() || (!ours->empty() && page.rows.front().bytes != *ours)) {
    return absl::FailedPreconditionError(
        absl::StrCat("the journal has no longer what it had at place ", after + 1));
  }
  return absl::OkStatus();
}

absl::Status Syncer::CompareClocks(absl::Span<const PulledRow> rows) {
  v1::Entry entry;
  for (size_t i = rows.size(); i-- > 0;) {
    if (rows[i].received_at_us == 0 || !entry.ParseFromString(rows[i].bytes) ||
        entry.device_id() != store_.device().device_id.bytes())
      continue;
    if (absl::Status s = store_.Set(MetaKey::kOwnClockUs, entry.written_at_us()); !s.ok()) return s;
    return store_.Set(MetaKey::kServerClockUs, rows[i].received_at_us);
  }
  return absl::OkStatus();
}

absl::Status Syncer::NoteWentOn(int64_t last, SyncResult& result) {
  const auto size = store_.Get(MetaKey::kJournalSize);
  if (!size.ok()) return size.status();
  if (last > 0 && last < *size && result.went_on_after == 0) result.went_on_after = last;
  return absl::OkStatus();
}

absl::Status Syncer::PullAll(SyncResult& result) {
  const auto last = store_.Get(MetaKey::kLastSeq);
  if (!last.ok()) return last.status();
  const auto refetching = Refetching();
  if (!refetching.ok()) return refetching.status();
  if (absl::Status status = NoteWentOn(*last, result); !status.ok()) return status;
  bool overlaps = *last > 0 && !*refetching;
  auto after = static_cast<uint64_t>(*last) - (overlaps ? 1 : 0);
  while (true) {
    const auto page = remote_.Pull(after);
    if (!page.ok()) return page.status();
    if (overlaps && page->journal_size < after + 1) {
      return absl::FailedPreconditionError(
          absl::StrCat("the journal has ", page->journal_size, " entries and had more"));
    }
    if (absl::Status status = CheckPage(*page, after, overlaps); !status.ok()) return status;
    const auto counts = sync_store_.TakePage(page->rows, page->journal_size, page->seals);
    if (!counts.ok()) return counts.status();
    if (absl::Status status = CompareClocks(page->rows); !status.ok()) return status;
    result.received += counts->fresh;
    result.mended += counts->mended;
    result.returned += counts->returned;
    result.numbers_taken = result.numbers_taken || counts->returned > 0;
    if (!page->rows.empty()) after = page->rows.back().seq;
    watch_("received", static_cast<int64_t>(after), static_cast<int64_t>(page->journal_size));
    if (after >= page->journal_size) return sync_store_.CheckNoneMissing(page->journal_size);
    overlaps = false;
  }
}

}  // namespace rundlet::client

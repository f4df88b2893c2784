#include "client/cellar/audit.h"

#include <algorithm>
#include <utility>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/store/checkpoint_file.h"
#include "client/store/seal_store.h"
#include "core/evidence/journal_audit.h"

namespace rundlet::client {
namespace {

class Auditor {
 public:
  Auditor(Cellar& cellar, const AuditOptions& options)
      : cellar_(cellar), options_(options), journal_(cellar.store.device().cellar_id) {}

  absl::StatusOr<AuditReport> Run() {
    const auto last = cellar_.store.Get(MetaKey::kLastSeq);
    if (!last.ok()) return last.status();
    report_.journal_size = static_cast<uint64_t>(*last);
    if (options_.since > report_.journal_size)
      return absl::OutOfRangeError(absl::StrCat("the journal here has ", report_.journal_size,
                                                " entries, and not ", options_.since));
    if (absl::Status status = TakeKnown(); !status.ok()) return status;
    if (absl::Status status = TakeEntries(); !status.ok()) return status;
    if (absl::Status status = TakeSeals(); !status.ok()) return status;
    if (absl::Status status = CompareWithCheckpoint(); !status.ok()) return status;
    if (options_.since == 0) CompareFolds();
    return std::move(report_);
  }

 private:
  void Problem(std::string text) { report_.problems.push_back(std::move(text)); }

  // What an earlier audit has seen: hashes, who came in, and who signs by which key.
  absl::Status TakeKnown() {
    if (options_.since == 0) return absl::OkStatus();
    Query places(cellar_.store.db(), "SELECT seq, hash FROM entry WHERE seq <= ?");
    places.Bind(static_cast<int64_t>(options_.since));
    while (places.Next()) {
      const std::string bytes = places.Bytes(1);
      Hash hash = {};
      std::copy_n(bytes.begin(), std::min(bytes.size(), hash.size()), hash.begin());
      journal_.TakeKnown(static_cast<uint64_t>(places.Int(0)), hash);
    }
    if (!places.status().ok()) return places.status();
    for (const auto& [row, body] : cellar_.fold->records().all()) {
      if (!body.has_invited() && !body.has_device_enrolled()) continue;
      const auto stored = cellar_.store.Find(cellar_.fold->sequence().row(row).id);
      if (!stored.ok()) return stored.status();
      const auto entry = ReadEntry(stored->bytes);
      if (entry.ok() && stored->seq > 0 && stored->seq <= options_.since)
        journal_.TakeKnownIdentity(stored->seq, *entry);
    }
    return absl::OkStatus();
  }

  absl::Status TakeEntries() {
    return cellar_.store.ForEach(0, [this](const StoredEntry& stored) {
      if (stored.seq > 0 && stored.seq <= options_.since) return absl::OkStatus();
      options_.step();
      if (stored.state == EntryState::kRecorded && stored.seq == 0) ++report_.unplaced;
      if (stored.state == EntryState::kReturned) {
        ++report_.entries;
        if (!stored.whole)
          Problem(absl::StrCat("the returned entry ", stored.id.ToString(),
                               " has not the bytes that were written"));
        return absl::OkStatus();
      }
      const v1::Entry* entry = journal_.Take(stored.seq, stored.bytes, stored.hash);
      if (entry == nullptr) return absl::OkStatus();
      if (entry->entry_id() != stored.id.bytes())
        Problem(absl::StrCat("the entry ", stored.id.ToString(), " has the bytes of another"));
      if (options_.since == 0) fold_.Insert(*entry);
      return absl::OkStatus();
    });
  }

  absl::Status TakeSeals() {
    auto seals = SealStore(cellar_.store.db()).After(0);
    if (absl::IsDataLoss(seals.status())) {
      Problem(std::string(seals.status().message()));
      return absl::OkStatus();
    }
    if (!seals.ok()) return seals.status();
    // A push that began before the place and ended after it counts from its beginning on.
    uint64_t known = 0;
    for (const v1::Seal& seal : *seals) {
      if (seal.last_seq() <= options_.since) known = seal.last_seq();
    }
    journal_.TakeSeals(*std::move(seals), known);
    return absl::OkStatus();
  }

  // Closes the journal's part, whose root the checkpoint has to have.
  absl::Status CompareWithCheckpoint() {
    const auto saved = ReadSavedCheckpoint(cellar_.store.home());
    if (absl::IsDataLoss(saved.status())) {
      Problem(std::string(saved.status().message()));
    } else if (!saved.ok()) {
      return saved.status();
    }
    const bool has_one = saved.ok() && saved->has_value();
    report_.signed_size = has_one ? (*saved)->edge.size() : 0;
    const auto result = journal_.Finish(report_.journal_size, report_.signed_size);
    report_.entries += result.entries;
    report_.devices = result.devices;
    report_.devices_let_in = result.devices_let_in;
    report_.from_before = result.from_before;
    for (const std::string& problem : result.problems) Problem(problem);
    report_.remarks = result.remarks;
    if (!has_one) return absl::OkStatus();
    const Hash root = (*saved)->edge.Root();
    report_.signed_root = absl::BytesToHexString(HashBytes(root));
    if (result.root_size < report_.signed_size) {
      Problem(absl::StrCat("place ", result.root_size + 1,
                           " of the journal, which the server signed, is not here: rundlet sync "
                           "--repair"));
    } else if (result.root != root) {
      Problem(absl::StrCat("the first ", report_.signed_size,
                           " entries of the journal are not those that the server signed"));
    }
    return absl::OkStatus();
  }

  void CompareFolds() {
    fold_.Settle();
    const Hash anew = fold_.StateDigest();
    report_.digest = absl::BytesToHexString(HashBytes(anew));
    if (anew != cellar_.fold->StateDigest())
      Problem(absl::StrCat("what the commands show is not what the entries give: move ",
                           cellar_.store.home().snapshot(), " away"));
  }

  Cellar& cellar_;
  const AuditOptions& options_;
  evidence::JournalAudit journal_;
  Fold fold_;
  AuditReport report_;
};

}  // namespace

absl::StatusOr<AuditReport> AuditBook(Cellar& cellar, const AuditOptions& options) {
  return Auditor(cellar, options).Run();
}

}  // namespace rundlet::client

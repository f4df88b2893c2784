#include "client/cellar/audit.h"

#include <map>
#include <optional>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/store/checkpoint_file.h"
#include "core/entry/entry.h"
#include "core/evidence/merkle.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

class Auditor {
 public:
  explicit Auditor(Cellar& cellar) : cellar_(cellar) {}

  absl::StatusOr<AuditReport> Run() {
    const absl::Status read = cellar_.store.ForEach(0, [this](const StoredEntry& stored) {
      Take(stored);
      return absl::OkStatus();
    });
    if (!read.ok()) return read;
    CheckChains();
    if (absl::Status status = CheckJournal(); !status.ok()) return status;
    if (absl::Status status = CheckCheckpoint(); !status.ok()) return status;
    CheckFold();
    return std::move(report_);
  }

 private:
  // One entry of a device.
  struct Link {
    Hash hash = {};
    std::string previous;
    Uuid id;
  };

  void Problem(std::string text) { report_.problems.push_back(std::move(text)); }

  void Take(const StoredEntry& stored) {
    ++report_.entries;
    if (!stored.whole) {
      Problem(absl::StrCat("entry ", stored.id.ToString(),
                           stored.seq > 0 ? absl::StrCat(", place ", stored.seq) : "",
                           ": its bytes are not those that were written"));
      return;
    }
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) {
      Problem(absl::StrCat("entry ", stored.id.ToString(), ": ", entry.status().message()));
      return;
    }
    if (entry->entry_id() != stored.id.bytes()) {
      Problem(absl::StrCat("entry ", stored.id.ToString(), ": its bytes are those of another"));
      return;
    }
    const Hash hash = LeafHash(sha_, stored.bytes);
    if (stored.seq > 0) places_[stored.seq] = hash;
    if (stored.state == EntryState::kRecorded && stored.seq == 0) ++report_.unplaced;
    if (stored.state == EntryState::kReturned) return;
    fold_.Insert(*entry);
    const auto device = Uuid::FromBytes(entry->device_id());
    Link link{.hash = hash, .previous = entry->previous_hash(), .id = stored.id};
    const auto [it, fresh] =
        chains_[device.ok() ? *device : Uuid()].emplace(entry->device_seq(), std::move(link));
    if (!fresh)
      Problem(absl::StrCat("entry ", stored.id.ToString(), ": its device gave number ",
                           entry->device_seq(), " to entry ", it->second.id.ToString(),
                           " as well"));
  }

  // Where a number is missing its entry was returned, and nothing can be told of the next.
  void CheckChains() {
    report_.devices = static_cast<int64_t>(chains_.size());
    for (const auto& [device, links] : chains_) {
      const Link* before = nullptr;
      uint64_t number_before = 0;
      for (const auto& [number, link] : links) {
        const bool follows = number == number_before + 1;
        const std::string expected = before == nullptr ? "" : std::string(HashBytes(before->hash));
        if (follows && link.previous != expected)
          Problem(absl::StrCat("entry ", link.id.ToString(), ", number ", number, " of device ",
                               device.ToString(),
                               ": it does not follow what the device wrote before it"));
        before = &link;
        number_before = number;
      }
    }
  }

  absl::Status CheckJournal() {
    const auto last = cellar_.store.Get(MetaKey::kLastSeq);
    if (!last.ok()) return last.status();
    report_.journal_size = static_cast<uint64_t>(*last);
    for (uint64_t place = 1; place <= report_.journal_size; ++place) {
      if (!places_.contains(place))
        Problem(absl::StrCat("place ", place, " of the server's journal is not here, or damaged: ",
                             "rundlet sync --repair"));
    }
    return absl::OkStatus();
  }

  absl::Status CheckCheckpoint() {
    const auto saved = ReadSavedCheckpoint(cellar_.store.home());
    if (absl::IsDataLoss(saved.status())) {
      Problem(std::string(saved.status().message()));
      return absl::OkStatus();
    }
    if (!saved.ok()) return saved.status();
    if (!saved->has_value()) return absl::OkStatus();
    report_.signed_size = (*saved)->edge.size();
    report_.signed_root = absl::BytesToHexString(HashBytes((*saved)->edge.Root()));
    evidence::Frontier tree;
    for (uint64_t place = 1; place <= report_.signed_size; ++place) {
      const auto found = places_.find(place);
      if (found == places_.end()) {
        if (place > report_.journal_size)  // else it was said above
          Problem(absl::StrCat("place ", place, " of the journal, which the server signed, is not ",
                               "here: rundlet sync --repair"));
        return absl::OkStatus();
      }
      tree.Append(found->second);
    }
    if (tree.Root() != (*saved)->edge.Root())
      Problem(absl::StrCat("the first ", report_.signed_size,
                           " entries of the journal are not those that the server signed"));
    return absl::OkStatus();
  }

  void CheckFold() {
    fold_.Settle();
    const Hash anew = fold_.StateDigest();
    report_.digest = absl::BytesToHexString(HashBytes(anew));
    if (anew != cellar_.fold->StateDigest())
      Problem(absl::StrCat("what the commands show is not what the entries give: move ",
                           cellar_.store.home().snapshot(), " away"));
  }

  Cellar& cellar_;
  AuditReport report_;
  Sha256 sha_;
  Fold fold_;
  std::map<Uuid, std::map<uint64_t, Link>> chains_;  // by device and number
  absl::flat_hash_map<uint64_t, Hash> places_;       // of the journal
};

}  // namespace

absl::StatusOr<AuditReport> AuditBook(Cellar& cellar) { return Auditor(cellar).Run(); }

}  // namespace rundlet::client

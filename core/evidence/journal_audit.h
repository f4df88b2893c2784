#ifndef RUNDLET_CORE_EVIDENCE_JOURNAL_AUDIT_H_
#define RUNDLET_CORE_EVIDENCE_JOURNAL_AUDIT_H_

#include <algorithm>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/container/flat_hash_set.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/key_ring.h"
#include "core/evidence/people.h"
#include "core/evidence/seal_check.h"
#include "rundlet/v1/entry.pb.h"
#include "rundlet/v1/seal.pb.h"

namespace rundlet::evidence {

// Finds out from the bytes of a journal alone whether it is what its devices wrote: every entry has
// the bytes that its hash was made of, each device's entries follow one another, every place is
// there once and signed by the device that it names, and each device speaks for one member, by whom
// it was let in (people.h). Whoever keeps the bytes - a device, the server, a stranger - hands them
// in and compares the root with what was signed of it.
//
// Every fault is a sentence that names the entry or the place. Not safe to share between threads.
class JournalAudit {
 public:
  explicit JournalAudit(const Uuid& cellar_id) : cellar_id_(cellar_id), people_(cellar_id) {}

  // An entry and its place; 0: it has none yet. In any order. `stored_hash` is what whoever keeps
  // the bytes says their hash is. Returns the entry, or nullptr where the bytes are none.
  const v1::Entry* Take(uint64_t seq, absl::string_view bytes, const Hash& stored_hash);
  // A place that was audited before: its hash is believed.
  void TakeKnown(uint64_t seq, const Hash& hash) {
    places_[seq] = {.hash = hash, .device = {}};
    known_up_to_ = std::max(known_up_to_, seq);
  }
  // What stands at such a place and says who comes in: invitations and keys, all of them.
  void TakeKnownIdentity(uint64_t seq, const v1::Entry& entry) { NoteIdentity(seq, entry); }
  // In the order of their places. `sealed_up_to`: the places up to there were audited before.
  void TakeSeals(std::vector<v1::Seal> seals, uint64_t sealed_up_to) {
    seals_ = std::move(seals);
    sealed_up_to_ = sealed_up_to;
  }

  struct Result {
    int64_t entries = 0;         // that were read
    int64_t devices = 0;         // that wrote them
    int64_t devices_let_in = 0;  // by an invitation that a member wrote into the journal
    uint64_t from_before = 0;    // places at the beginning from before there were signatures
    Hash root = {};              // of the tree over the first `root_size` places
    uint64_t root_size = 0;
    KeyRing keys;  // that the devices say
    std::vector<std::string> problems;
    // What may be right, and is not to be seen in the journal: only the server says so.
    std::vector<std::string> remarks;
  };
  // After everything was handed in. The journal has places 1 to `size`; the root is that of its
  // first `root_size`, as far as they are there.
  Result Finish(uint64_t size, uint64_t root_size);

 private:
  // One entry of a device.
  struct Link {
    Hash hash = {};
    std::string previous;
    Uuid id;
  };

  void Problem(std::string text) { result_.problems.push_back(std::move(text)); }
  void NoteIdentity(uint64_t seq, const v1::Entry& entry);
  void CheckPlaces(uint64_t size);
  void CheckChains();
  void CheckSeals(uint64_t size);
  void CheckPeople();
  void FindRoot(uint64_t root_size);

  const Uuid cellar_id_;
  Sha256 sha_;
  v1::Entry entry_;                                  // the one at hand
  std::map<Uuid, std::map<uint64_t, Link>> chains_;  // by device and running number
  absl::flat_hash_map<uint64_t, SealedPlace> places_;
  absl::flat_hash_set<Uuid> ids_;  // at places
  uint64_t known_up_to_ = 0;       // places that were audited before
  People people_;
  KeyRing keys_;
  std::vector<v1::Seal> seals_;
  uint64_t sealed_up_to_ = 0;
  Result result_;
};

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_JOURNAL_AUDIT_H_

#include "core/evidence/journal_audit.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/evidence/merkle.h"

namespace rundlet::evidence {
namespace {

std::string At(uint64_t seq) { return seq > 0 ? absl::StrCat(" at place ", seq) : ""; }

}  // namespace

const v1::Entry* JournalAudit::Take(uint64_t seq, absl::string_view bytes,
                                    const Hash& stored_hash) {
  ++result_.entries;
  const Hash hash = LeafHash(sha_, bytes);
  entry_.Clear();
  const bool read = entry_.ParseFromArray(bytes.data(), static_cast<int>(bytes.size()));
  const auto id = Uuid::FromBytes(entry_.entry_id());
  const auto device = Uuid::FromBytes(entry_.device_id());
  if (hash != stored_hash) {
    Problem(absl::StrCat("the entry", read && id.ok() ? " " + id->ToString() : "", At(seq),
                         " has not the bytes that were written"));
    return nullptr;
  }
  if (!read || !id.ok() || !device.ok()) {
    Problem(absl::StrCat("what stands", At(seq), " is no entry"));
    return nullptr;
  }
  if (entry_.cellar_id() != cellar_id_.bytes())
    Problem(absl::StrCat("the entry ", id->ToString(), At(seq), " is of another cellar"));
  if (seq > 0) {
    if (!places_.emplace(seq, SealedPlace{.hash = hash, .device = *device}).second)
      Problem(absl::StrCat("place ", seq, " of the journal is there twice"));
    if (!ids_.insert(*id).second)
      Problem(absl::StrCat("the entry ", id->ToString(), " stands in the journal twice"));
    NoteIdentity(seq, entry_);
  }
  const auto [it, fresh] = chains_[*device].emplace(
      entry_.device_seq(), Link{.hash = hash, .previous = entry_.previous_hash(), .id = *id});
  if (!fresh)
    Problem(absl::StrCat("the device ", device->ToString(), " gave the number ",
                         entry_.device_seq(), " to the entries ", it->second.id.ToString(), " and ",
                         id->ToString()));
  return &entry_;
}

void JournalAudit::NoteIdentity(uint64_t seq, const v1::Entry& entry) {
  people_.Take(seq, entry);
  if (!entry.has_device_enrolled()) return;
  const auto device = Uuid::FromBytes(entry.device_id());
  const auto key = PublicKey::FromBytes(entry.device_enrolled().public_key());
  if (device.ok() && key.ok()) keys_.Add(*device, seq, *key);
}

JournalAudit::Result JournalAudit::Finish(uint64_t size, uint64_t root_size) {
  CheckPlaces(size);
  CheckChains();
  CheckSeals(size);
  CheckPeople();
  FindRoot(root_size);
  result_.keys = keys_;
  return std::move(result_);
}

void JournalAudit::CheckPlaces(uint64_t size) {
  for (uint64_t place = 1; place <= size; ++place) {
    if (!places_.contains(place))
      Problem(absl::StrCat("place ", place, " of the journal is missing, or damaged"));
  }
}

// Where a number is missing its entry was returned, and nothing can be told of the next.
void JournalAudit::CheckChains() {
  result_.devices = static_cast<int64_t>(chains_.size());
  for (const auto& [device, links] : chains_) {
    const Link* before = nullptr;
    uint64_t number_before = 0;
    for (const auto& [number, link] : links) {
      const bool follows = number == number_before + 1;
      const absl::string_view expected = before == nullptr ? "" : HashBytes(before->hash);
      if (follows && link.previous != expected)
        Problem(absl::StrCat("the entry ", link.id.ToString(), ", number ", number, " of device ",
                             device.ToString(),
                             ", does not follow what the device wrote before it"));
      before = &link;
      number_before = number;
    }
  }
}

void JournalAudit::CheckSeals(uint64_t size) {
  // A journal in which no device has said a key is of a time before there were any.
  if (keys_.devices() == 0 && seals_.empty()) {
    result_.from_before = size;
    return;
  }
  uint64_t before = sealed_up_to_;
  for (const v1::Seal& seal : seals_) {
    if (seal.last_seq() <= sealed_up_to_) continue;
    const auto signer = Uuid::FromBytes(seal.device_id());
    const auto first = CheckSeal(
        seal, cellar_id_, before, keys_, [&](uint64_t seq) -> absl::StatusOr<SealedPlace> {
          const auto found = places_.find(seq);
          if (found == places_.end())
            return absl::NotFoundError(absl::StrCat("place ", seq, " of the journal is missing"));
          SealedPlace place = found->second;
          if (place.device.is_nil() && signer.ok()) place.device = *signer;  // audited before
          return place;
        });
    if (absl::IsNotFound(first.status())) {
      Problem(absl::StrCat("the signature for places ", before + 1, " to ", seal.last_seq(),
                           " cannot be checked: ", first.status().message()));
    } else if (!first.ok()) {
      Problem(std::string(first.status().message()));
    } else if (*first != before + 1) {
      if (before == 0 && keys_.first_place() >= *first) {
        result_.from_before = *first - 1;
      } else {
        Problem(absl::StrCat("places ", before + 1, " to ", *first - 1,
                             " of the journal bear nobody's signature"));
      }
    }
    before = seal.last_seq();
  }
  if (before < size)
    Problem(absl::StrCat("places ", before + 1, " to ", size,
                         " of the journal bear nobody's signature"));
}

void JournalAudit::CheckPeople() {
  People::Findings findings = people_.Check(known_up_to_);
  for (std::string& problem : findings.problems) Problem(std::move(problem));
  result_.remarks = std::move(findings.remarks);
  result_.devices_let_in = findings.devices_let_in;
}

void JournalAudit::FindRoot(uint64_t root_size) {
  Frontier tree;
  for (uint64_t place = 1; place <= root_size; ++place) {
    const auto found = places_.find(place);
    if (found == places_.end()) break;
    tree.Append(found->second.hash);
  }
  result_.root_size = tree.size();
  result_.root = tree.Root();
}

}  // namespace rundlet::evidence

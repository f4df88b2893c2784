#include "core/dossier/verify.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/dossier/file.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "core/evidence/key_ring.h"
#include "core/evidence/merkle.h"
#include "core/evidence/people.h"
#include "core/evidence/seal.h"
#include "core/fold/fold.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::dossier {
namespace {

using google::protobuf::RepeatedPtrField;

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

bool ReadHash(const std::string& bytes, Hash& hash) {
  if (bytes.size() != hash.size()) return false;
  std::copy(bytes.begin(), bytes.end(), hash.begin());
  return true;
}

bool ReadHashes(const RepeatedPtrField<std::string>& list, std::vector<Hash>& hashes) {
  hashes.resize(static_cast<size_t>(list.size()));
  for (int i = 0; i < list.size(); ++i) {
    if (!ReadHash(list.Get(i), hashes[static_cast<size_t>(i)])) return false;
  }
  return true;
}

// Whether a note has one signature, in the one spelling that there is of it: others may stand in
// signed notes, and nobody checks them.
bool HasOneSignature(absl::string_view note) {
  const size_t gap = note.rfind("\n\n");
  if (gap == absl::string_view::npos || !absl::ConsumeSuffix(&note, "\n")) return false;
  const std::vector<absl::string_view> words = absl::StrSplit(note.substr(gap + 2), ' ');
  std::string signature;
  return words.size() == 3 && absl::Base64Unescape(words[2], &signature) &&
         absl::Base64Escape(signature) == words[2];
}

class Verifier {
 public:
  explicit Verifier(const v1::Dossier& dossier)
      : dossier_(dossier), people_(IdOf(dossier.cellar_id())) {
    verdict_.cellar_id = IdOf(dossier.cellar_id());
    verdict_.title = dossier.title();
    verdict_.cellar_name = dossier.cellar_name();
    verdict_.made_at_us = dossier.made_at_us();
    verdict_.server_key = dossier.checkpoint_key();
  }

  Verdict Run(const std::optional<evidence::PublicKey>& demanded) {
    if (dossier_.digest() != HashBytes(DigestOf(dossier_)))
      Problem("the file is not as it was made: something in it was changed or damaged");
    CheckCheckpoint(demanded);
    for (const v1::DossierEntry& entry : dossier_.entries()) TakeEntry(entry);
    CheckChains();
    CheckSeals();
    CheckKeys();
    CheckPeople();
    CheckCorrections();
    Tell();
    return std::move(verdict_);
  }

 private:
  struct Taken {
    const v1::DossierEntry* from = nullptr;
    v1::Entry entry;
    Hash hash = {};
    size_t line = 0;
  };

  void Problem(std::string text) { verdict_.problems.push_back(std::move(text)); }
  void Problem(uint64_t seq, absl::string_view what) {
    Problem(absl::StrCat("the entry at place ", seq, " ", what));
  }

  void CheckCheckpoint(const std::optional<evidence::PublicKey>& demanded);
  void TakeEntry(const v1::DossierEntry& from);
  void CheckPlace(const v1::DossierEntry& from, const Hash& hash, Line& line);
  void CheckChains();
  void CheckSeals();
  void CheckSeal(uint32_t number, const std::vector<const Taken*>& covered);
  std::string NameOf(uint32_t seal) const;
  std::optional<evidence::PublicKey> KeyFor(const Uuid& device,
                                            const std::vector<const Taken*>& covered) const;
  void CheckKeys();
  void CheckPeople();
  bool IsCovered(const Taken& taken, const evidence::SealedPush& seal) const;
  void CheckCorrections();
  void Tell();

  const v1::Dossier& dossier_;
  Verdict verdict_;
  evidence::People people_;
  evidence::KeyRing keys_;  // that are signed for
  std::optional<evidence::Checkpoint> checkpoint_;
  std::vector<Taken> taken_;  // in the order of the journal
  std::set<Uuid> ids_;
  uint64_t last_seq_ = 0;
  Sha256 sha_;
};

void Verifier::CheckCheckpoint(const std::optional<evidence::PublicKey>& demanded) {
  const auto key = evidence::ReadKey(dossier_.checkpoint_key());
  if (!key.ok() || evidence::PrintKey(*key) != dossier_.checkpoint_key())
    return Problem("the key of the server cannot be read");
  if (demanded.has_value() && *demanded != *key) {
    Problem(absl::StrCat("the server's key is ", dossier_.checkpoint_key(), ", and not ",
                         evidence::PrintKey(*demanded), ", which was demanded"));
  }
  const auto checkpoint = evidence::OpenCheckpoint(dossier_.checkpoint(), *key);
  if (!checkpoint.ok())
    return Problem(
        absl::StrCat("the server's signature is not good: ", checkpoint.status().message()));
  if (!HasOneSignature(dossier_.checkpoint()))
    return Problem("the server's signature has something beside it that nobody signed");
  if (checkpoint->cellar_id.bytes() != dossier_.cellar_id())
    return Problem("the server's signature is of another cellar");
  checkpoint_ = *checkpoint;
  verdict_.journal_size = checkpoint->size;
  verdict_.root = absl::BytesToHexString(HashBytes(checkpoint->root));
}

void Verifier::CheckPlace(const v1::DossierEntry& from, const Hash& hash, Line& line) {
  std::vector<Hash> proof;
  if (!checkpoint_.has_value()) return;  // told already
  if (!ReadHashes(from.inclusion(), proof) || from.seq() == 0 ||
      !evidence::VerifyInclusion(hash, from.seq() - 1, checkpoint_->size, proof, checkpoint_->root)
           .ok())
    return Problem(from.seq(), "is not what the server's journal has there");
  line.in_journal = true;
}

void Verifier::TakeEntry(const v1::DossierEntry& from) {
  if (from.seq() <= last_seq_)
    Problem(from.seq(), "stands behind a later one: the order was changed");
  last_seq_ = std::max(last_seq_, from.seq());
  const Hash hash = LeafHash(sha_, from.bytes());
  Line line{.seq = from.seq()};
  CheckPlace(from, hash, line);
  auto entry = from.bytes().size() > kMaxEntryBytes
                   ? absl::StatusOr<v1::Entry>(absl::InvalidArgumentError("it is too long"))
                   : ParseEntry(from.bytes());
  if (absl::IsUnimplemented(entry.status())) {
    verdict_.unproven.push_back(
        absl::StrCat("what the entry at place ", from.seq(), " says: ", entry.status().message()));
  } else if (!entry.ok()) {
    Problem(from.seq(), absl::StrCat("is none: ", entry.status().message()));
  } else if (entry->cellar_id() != dossier_.cellar_id()) {
    Problem(from.seq(), "is of another cellar");
  } else if (line.id = IdOf(entry->entry_id()); !ids_.insert(line.id).second) {
    Problem(from.seq(), "is here twice");
  } else {
    people_.Take(from.seq(), *entry);
    taken_.push_back({&from, *std::move(entry), hash, verdict_.lines.size()});
  }
  verdict_.lines.push_back(std::move(line));
}

void Verifier::CheckChains() {
  std::map<Uuid, std::map<uint64_t, const Taken*>> chains;
  for (const Taken& taken : taken_) {
    auto& chain = chains[IdOf(taken.entry.device_id())];
    if (!chain.emplace(taken.entry.device_seq(), &taken).second)
      Problem(taken.from->seq(), "has a running number of its device that another one has too");
  }
  for (const auto& [device, chain] : chains) {
    for (const auto& [number, taken] : chain) {
      const auto before = chain.find(number - 1);
      if (number == 1 ? !taken->entry.previous_hash().empty()
                      : before != chain.end() &&
                            taken->entry.previous_hash() != HashBytes(before->second->hash))
        Problem(taken->from->seq(), "does not follow what its device wrote before it");
    }
  }
}

bool Verifier::IsCovered(const Taken& taken, const evidence::SealedPush& seal) const {
  std::vector<Hash> proof;
  return IdOf(taken.entry.device_id()) == seal.device_id &&
         ReadHashes(taken.from->sealed_inclusion(), proof) &&
         evidence::VerifyInclusion(taken.hash, taken.from->sealed_index(), seal.count, proof,
                                   seal.root)
             .ok();
}

// In the order of the journal, as a key counts from where the one before it signed for it.
void Verifier::CheckSeals() {
  if (dossier_.seals_size() > dossier_.entries_size())
    return Problem("it has more signatures than entries");
  const auto seals = static_cast<size_t>(dossier_.seals_size());
  std::vector<bool> named(seals);
  for (const v1::DossierEntry& entry : dossier_.entries()) {
    if (entry.seal() > 0 && entry.seal() <= seals) named[entry.seal() - 1] = true;
  }
  std::vector<std::vector<const Taken*>> covered(seals);
  for (const Taken& taken : taken_) {
    const uint32_t number = taken.from->seal();
    if (number > 0 && number <= seals) covered[number - 1].push_back(&taken);
  }
  std::vector<uint32_t> order;
  for (uint32_t i = 0; i < seals; ++i) {
    if (!named[i]) Problem(absl::StrCat(NameOf(i + 1), " covers nothing that is here"));
    if (!covered[i].empty()) order.push_back(i);
  }
  std::sort(order.begin(), order.end(), [&](uint32_t a, uint32_t b) {
    return covered[a].front()->from->seq() < covered[b].front()->from->seq();
  });
  for (const uint32_t i : order) CheckSeal(i + 1, covered[i]);
}

std::string Verifier::NameOf(uint32_t seal) const {
  return absl::StrCat("the signature ", seal, " of device ",
                      IdOf(dossier_.seals(static_cast<int>(seal) - 1).device_id()).ToString());
}

// The last that was signed for before; or, as the device has none yet, the first that it says here,
// which signs for itself.
std::optional<evidence::PublicKey> Verifier::KeyFor(
    const Uuid& device, const std::vector<const Taken*>& covered) const {
  const uint64_t first = covered.front()->from->seq();
  if (const evidence::PublicKey* key = keys_.For(device, first, first)) return *key;
  for (const Taken* taken : covered) {
    if (!taken->entry.has_device_enrolled() || IdOf(taken->entry.device_id()) != device) continue;
    const auto key = evidence::PublicKey::FromBytes(taken->entry.device_enrolled().public_key());
    if (key.ok()) return *key;
  }
  return std::nullopt;
}

void Verifier::CheckSeal(uint32_t number, const std::vector<const Taken*>& covered) {
  const v1::DossierSeal& from = dossier_.seals(static_cast<int>(number) - 1);
  evidence::SealedPush seal{
      .cellar_id = verdict_.cellar_id, .device_id = IdOf(from.device_id()), .count = from.count()};
  const std::string name = NameOf(number);
  if (!ReadHash(from.root(), seal.root)) return Problem(absl::StrCat(name, " is none"));
  const auto key = KeyFor(seal.device_id, covered);
  if (!key.has_value())
    return Problem(absl::StrCat(name, " cannot be checked: no entry here says the device's key"));
  if (!evidence::VerifySeal(seal, *key, from.signature()))
    return Problem(absl::StrCat(name, " is not good"));
  for (const Taken* taken : covered) {
    if (!IsCovered(*taken, seal)) {
      Problem(taken->from->seq(), absl::StrCat("is not covered by ", name, ", as the file says"));
      continue;
    }
    verdict_.lines[taken->line].signed_by = seal.device_id.ToString();
    if (!taken->entry.has_device_enrolled()) continue;
    const auto said = evidence::PublicKey::FromBytes(taken->entry.device_enrolled().public_key());
    if (said.ok()) keys_.Add(seal.device_id, taken->from->seq(), *said);
  }
}

void Verifier::CheckKeys() {
  for (const Taken& taken : taken_) {
    if (taken.entry.has_device_enrolled() && verdict_.lines[taken.line].signed_by.empty())
      Problem(taken.from->seq(),
              "says a key of its device that no good signature covers: a key is signed for by the "
              "one before it, and a device's first by itself");
  }
}

void Verifier::CheckPeople() {
  evidence::People::Findings findings = people_.Check();
  std::move(findings.problems.begin(), findings.problems.end(),
            std::back_inserter(verdict_.problems));
  std::move(findings.remarks.begin(), findings.remarks.end(),
            std::back_inserter(verdict_.unproven));
}

void Verifier::CheckCorrections() {
  for (const Taken& taken : taken_) {
    const v1::DossierEntry& from = *taken.from;
    if (from.seal() > static_cast<uint32_t>(dossier_.seals_size()) ||
        (from.seal() == 0 && (from.sealed_index() != 0 || from.sealed_inclusion_size() != 0)))
      Problem(from.seq(), "names a signature that is not here");
    const std::string& target = taken.entry.has_void_() ? taken.entry.void_().target_id()
                                                        : taken.entry.amendment().target_id();
    if (!target.empty() && !ids_.contains(IdOf(target)))
      verdict_.unproven.push_back(absl::StrCat("the entry at place ", from.seq(),
                                               " voids or amends one that is not here: it may "
                                               "never have been taken in, or was left out"));
  }
}

// In words, by what the entries themselves say of things and people.
void Verifier::Tell() {
  Fold fold;
  for (const Taken& taken : taken_) fold.Insert(taken.entry);
  fold.Settle();
  size_t unsigned_entries = 0;
  std::string places;
  for (const Taken& taken : taken_) {
    Line& line = verdict_.lines[taken.line];
    const RowId row = fold.sequence().Find(line.id);
    line.when = {.at_us = taken.entry.effective_at_us(),
                 .utc_offset_min = taken.entry.utc_offset_min()};
    line.author = fold.directory().NameOf(fold.sequence().row(row).author, fold.sequence());
    line.says = Summarise(fold, taken.entry);
    line.note = taken.entry.note();
    const Row::Standing standing = fold.sequence().row(row).standing;
    line.standing = standing == Row::Standing::kVoid         ? "void"
                    : standing == Row::Standing::kSuperseded ? "superseded"
                                                             : "";
    if (line.in_journal && line.signed_by.empty()) {
      ++unsigned_entries;
      absl::StrAppend(&places, places.empty() ? "" : ", ", line.seq);
    }
  }
  if (unsigned_entries > 0) {
    verdict_.unproven.push_back(
        absl::StrCat("who wrote ", unsigned_entries,
                     unsigned_entries == 1 ? " entry (place " : " entries (places ", places,
                     "): no device signed, only the server says so"));
  }
}

}  // namespace

absl::StatusOr<Verdict> Verify(const v1::Dossier& dossier,
                               const std::optional<evidence::PublicKey>& demanded) {
  if (dossier.format_version() > kFormatVersion)
    return absl::InvalidArgumentError(
        "this dossier was made by a newer rundlet: check it with one");
  Verdict verdict = Verifier(dossier).Run(demanded);
  if (dossier.format_version() != kFormatVersion)
    verdict.problems.push_back("its format is none that there is");
  if (dossier.entries().empty()) verdict.problems.push_back("it has no entries");
  return verdict;
}

}  // namespace rundlet::dossier

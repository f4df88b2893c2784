#include "core/dossier/maker.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/dossier/file.h"

namespace rundlet::dossier {
namespace {

void AddHashes(const std::vector<Hash>& hashes,
               google::protobuf::RepeatedPtrField<std::string>& to) {
  for (const Hash& hash : hashes) to.Add(std::string(HashBytes(hash)));
}

absl::Status Damaged() {
  return absl::DataLossError(
      "the signatures of this book do not fit its journal: rundlet sync --repair");
}

}  // namespace

absl::StatusOr<Maker> Maker::Create(absl::string_view note, const evidence::PublicKey& key,
                                    std::vector<Hash> places, std::vector<v1::Seal> seals) {
  const auto checkpoint = evidence::OpenCheckpoint(note, key);
  if (!checkpoint.ok()) return checkpoint.status();
  Maker maker;
  maker.checkpoint_ = *checkpoint;
  maker.places_ = std::move(places);
  maker.seals_ = std::move(seals);
  for (const Hash& place : maker.places_) maker.tree_.Append(place);
  const auto root = maker.tree_.Root(checkpoint->size);
  if (!root.ok() || *root != checkpoint->root) {
    return absl::DataLossError(
        "this book is not what the server signed: rundlet audit says where, rundlet sync --repair "
        "fetches it again");
  }
  maker.dossier_.set_format_version(kFormatVersion);
  maker.dossier_.set_cellar_id(checkpoint->cellar_id.ToBytes());
  maker.dossier_.set_checkpoint(std::string(note));
  maker.dossier_.set_checkpoint_key(evidence::PrintKey(key));
  return maker;
}

absl::StatusOr<Maker::Sealed> Maker::Take(const v1::Seal& seal) {
  Sealed sealed;
  for (const v1::SealPart& part : seal.parts()) {
    if (part.what_case() == v1::SealPart::kAbsentHash) {
      Hash hash;
      if (part.absent_hash().size() != hash.size()) return Damaged();
      std::copy(part.absent_hash().begin(), part.absent_hash().end(), hash.begin());
      sealed.tree.Append(hash);
      continue;
    }
    const uint64_t end = part.run().first_seq() + part.run().count();
    if (part.run().first_seq() == 0 || end > places_.size() + 1) return Damaged();
    for (uint64_t seq = part.run().first_seq(); seq < end; ++seq) {
      sealed.index_of.emplace(seq, sealed.tree.size());
      sealed.tree.Append(places_[seq - 1]);
    }
  }
  const auto root = sealed.tree.Root(sealed.tree.size());
  if (!root.ok()) return root.status();
  sealed.number = static_cast<uint32_t>(dossier_.seals_size()) + 1;
  v1::DossierSeal& out = *dossier_.add_seals();
  out.set_device_id(seal.device_id());
  out.set_count(sealed.tree.size());
  out.set_root(std::string(HashBytes(*root)));
  out.set_signature(seal.signature());
  return sealed;
}

absl::StatusOr<const Maker::Sealed*> Maker::SealOf(uint64_t seq) {
  // The first seal that ends at the place or after it is the one by which it was new.
  const auto seal =
      std::lower_bound(seals_.begin(), seals_.end(), seq,
                       [](const v1::Seal& a, uint64_t place) { return a.last_seq() < place; });
  if (seal == seals_.end()) return nullptr;
  const bool covers =
      std::any_of(seal->parts().begin(), seal->parts().end(), [seq](const v1::SealPart& part) {
        return part.has_run() && part.run().first_seq() <= seq &&
               seq < part.run().first_seq() + part.run().count();
      });
  if (!covers) return nullptr;  // from before there were seals
  auto taken = taken_.find(seal->last_seq());
  if (taken == taken_.end()) {
    auto fresh = Take(*seal);
    if (!fresh.ok()) return fresh.status();
    taken = taken_.emplace(seal->last_seq(), *std::move(fresh)).first;
  }
  return &taken->second;
}

absl::Status Maker::Add(uint64_t seq, absl::string_view bytes) {
  if (seq == 0) return absl::OutOfRangeError("this entry has no place in the journal yet");
  const auto inclusion = tree_.Inclusion(seq - 1, checkpoint_.size);
  if (!inclusion.ok()) return inclusion.status();
  const auto sealed = SealOf(seq);
  if (!sealed.ok()) return sealed.status();
  v1::DossierEntry& entry = *dossier_.add_entries();
  entry.set_bytes(std::string(bytes));
  entry.set_seq(seq);
  AddHashes(*inclusion, *entry.mutable_inclusion());
  if (*sealed == nullptr) return absl::OkStatus();
  const uint64_t index = (*sealed)->index_of.at(seq);
  const auto proof = (*sealed)->tree.Inclusion(index, (*sealed)->tree.size());
  if (!proof.ok()) return proof.status();
  entry.set_seal((*sealed)->number);
  entry.set_sealed_index(index);
  AddHashes(*proof, *entry.mutable_sealed_inclusion());
  return absl::OkStatus();
}

v1::Dossier Maker::Finish(absl::string_view title, absl::string_view cellar_name,
                          int64_t made_at_us) {
  dossier_.set_title(std::string(title));
  dossier_.set_cellar_name(std::string(cellar_name));
  dossier_.set_made_at_us(made_at_us);
  dossier_.set_digest(std::string(HashBytes(DigestOf(dossier_))));
  return std::move(dossier_);
}

}  // namespace rundlet::dossier

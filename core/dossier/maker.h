#ifndef RUNDLET_CORE_DOSSIER_MAKER_H_
#define RUNDLET_CORE_DOSSIER_MAKER_H_

#include <map>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/evidence/checkpoint.h"
#include "core/evidence/proof_tree.h"
#include "rundlet/v1/dossier.pb.h"
#include "rundlet/v1/seal.pb.h"

namespace rundlet::dossier {

// Puts entries and their proofs into a dossier. Not safe to share between threads.
class Maker {
 public:
  // `places`: the leaf hashes of the journal from its first place on, at least as many as the
  // checkpoint speaks of. `seals` in the order of their places. DataLoss: the places are not those
  // that the server signed.
  static absl::StatusOr<Maker> Create(absl::string_view note, const evidence::PublicKey& key,
                                      std::vector<Hash> places, std::vector<v1::Seal> seals);

  // How many places of the journal can be proven.
  uint64_t size() const { return checkpoint_.size; }

  // The entry at a place, lowest places first. OutOfRange: the server has not signed so far.
  absl::Status Add(uint64_t seq, absl::string_view bytes);

  // `title` and `cellar_name` are words for people.
  v1::Dossier Finish(absl::string_view title, absl::string_view cellar_name, int64_t made_at_us);

 private:
  // A seal that is in the dossier.
  struct Sealed {
    uint32_t number = 0;  // 1 is the first
    evidence::ProofTree tree;
    std::map<uint64_t, uint64_t> index_of;  // leaf by place
  };

  Maker() = default;
  // The seal by which a place was new; nullptr where none is known.
  absl::StatusOr<const Sealed*> SealOf(uint64_t seq);
  absl::StatusOr<Sealed> Take(const v1::Seal& seal);

  evidence::Checkpoint checkpoint_;
  std::vector<Hash> places_;
  std::vector<v1::Seal> seals_;
  evidence::ProofTree tree_;
  std::map<uint64_t, Sealed> taken_;  // by their last place
  v1::Dossier dossier_;
};

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_MAKER_H_

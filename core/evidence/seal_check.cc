#include "core/evidence/seal_check.h"

#include <algorithm>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "core/evidence/seal.h"

namespace rundlet::evidence {
namespace {

// More than any push may hold: what claims more was not made by a server of ours.
constexpr uint64_t kMaxLeaves = 100'000;

// One seal on its way through the checks.
class Check {
 public:
  Check(const v1::Seal& seal, uint64_t before) : seal_(seal), before_(before) {}

  absl::StatusOr<uint64_t> Run(const Uuid& cellar_id, const KeyRing& keys, ReadPlace read) {
    const auto device = Uuid::FromBytes(seal_.device_id());
    if (!device.ok() || seal_.last_seq() <= before_) return Broken("it is not one");
    device_ = *device;
    for (const v1::SealPart& part : seal_.parts()) {
      if (absl::Status status = Take(part, read); !status.ok()) return status;
    }
    // The new places are in one piece, up to the last.
    std::sort(fresh_.begin(), fresh_.end());
    if (fresh_.empty() || fresh_.back() != seal_.last_seq() ||
        fresh_.back() - fresh_.front() + 1 != fresh_.size())
      return Broken("it does not cover what was new by it");
    const PublicKey* key = keys.For(device_, fresh_.front(), seal_.last_seq());
    if (key == nullptr) return Broken("the journal says no key of this device");
    if (!VerifySeal(SealOf(cellar_id, device_, leaves_), *key, seal_.signature()))
      return Broken("they are not what the device signed");
    return fresh_.front();
  }

 private:
  absl::Status Take(const v1::SealPart& part, ReadPlace read) {
    if (part.what_case() == v1::SealPart::kAbsentHash) {
      Hash hash;
      if (part.absent_hash().size() != hash.size()) return Broken("it is not one");
      std::copy(part.absent_hash().begin(), part.absent_hash().end(), hash.begin());
      leaves_.push_back(hash);
      return absl::OkStatus();
    }
    const uint64_t first = part.run().first_seq();
    const uint64_t count = part.run().count();
    if (first == 0 || count == 0 || leaves_.size() + count > kMaxLeaves ||
        first > seal_.last_seq() || count > seal_.last_seq() - first + 1)
      return Broken("it is not one");
    for (uint64_t seq = first; seq < first + count; ++seq) {
      const auto place = read(seq);
      if (!place.ok()) return place.status();
      if (place->device != device_)
        return Broken(absl::StrCat("the entry at place ", seq, " says that it is of device ",
                                   place->device.ToString()));
      leaves_.push_back(place->hash);
      if (seq > before_) fresh_.push_back(seq);
    }
    return absl::OkStatus();
  }

  absl::Status Broken(absl::string_view why) const {
    return absl::FailedPreconditionError(
        absl::StrCat("the signature of device ", device_.ToString(), " for places ", before_ + 1,
                     " to ", seal_.last_seq(), " of the journal is not good: ", why));
  }

  const v1::Seal& seal_;
  const uint64_t before_;
  Uuid device_;
  std::vector<Hash> leaves_;
  std::vector<uint64_t> fresh_;  // places that are new by it
};

}  // namespace

absl::StatusOr<uint64_t> CheckSeal(const v1::Seal& seal, const Uuid& cellar_id, uint64_t before,
                                   const KeyRing& keys, ReadPlace read) {
  return Check(seal, before).Run(cellar_id, keys, read);
}

}  // namespace rundlet::evidence

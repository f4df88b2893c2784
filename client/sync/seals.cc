#include "client/sync/seals.h"

#include "absl/strings/str_cat.h"
#include "client/store/device_key.h"
#include "client/store/seal_store.h"
#include "core/evidence/seal_check.h"

namespace rundlet::client {
namespace {

constexpr char kWhatThen[] =
    ". Whoever runs the server, or somebody on the way, may have made them up. Tell the others, "
    "and look with: rundlet audit";

// Goes over the seals that were not checked yet.
class SealCheck {
 public:
  SealCheck(Store& store, SealStore& kept, const evidence::KeyRing& keys, uint64_t checked,
            std::vector<std::string>& alarms)
      : store_(store), kept_(kept), keys_(keys), checked_(checked), alarms_(alarms) {}

  // Up to the first that does not hold. False there.
  absl::StatusOr<bool> Go(absl::Span<const v1::Seal> seals) {
    for (const v1::Seal& seal : seals) {
      const auto first = evidence::CheckSeal(seal, store_.device().cellar_id, checked_, keys_,
                                             [this](uint64_t seq) { return kept_.At(seq); });
      if (absl::IsFailedPrecondition(first.status()) || absl::IsNotFound(first.status()))
        return Alarm(first.status().message());
      if (!first.ok()) return first.status();
      if (*first != checked_ + 1) {
        if (checked_ > 0 || keys_.first_place() < *first) return Unsigned(*first - 1);
        alarms_.push_back(absl::StrCat(
            "the first ", *first - 1, " entries of the journal bear no signature: they are from ",
            "before there were keys, says the server. Ask somebody who has been in this cellar ",
            "longer for their root: rundlet audit"));
      }
      checked_ = seal.last_seq();
    }
    return true;
  }

  bool Unsigned(uint64_t upto) {
    return Alarm(absl::StrCat("places ", checked_ + 1, " to ", upto,
                              " of the journal bear nobody's signature"));
  }
  uint64_t checked() const { return checked_; }

 private:
  bool Alarm(absl::string_view what) {
    alarms_.push_back(absl::StrCat(what, kWhatThen));
    return false;
  }

  Store& store_;
  SealStore& kept_;
  const evidence::KeyRing& keys_;
  uint64_t checked_;  // places up to here hold
  std::vector<std::string>& alarms_;
};

}  // namespace

absl::Status CheckSeals(Store& store, bool complete, std::vector<std::string>& alarms) {
  const auto checked = store.Get(MetaKey::kSealedUpTo);
  if (!checked.ok()) return checked.status();
  const auto last = store.Get(MetaKey::kLastSeq);
  if (!last.ok()) return last.status();
  SealStore kept(store.db());
  const auto keys = kept.Keys();
  if (!keys.ok()) return keys.status();
  const auto seals = kept.After(static_cast<uint64_t>(*checked));
  if (!seals.ok()) return seals.status();
  // A journal in which no device has said a key is of a time before there were any.
  if (keys->devices() == 0 && seals->empty()) return absl::OkStatus();

  SealCheck check(store, kept, *keys, static_cast<uint64_t>(*checked), alarms);
  const auto holds = check.Go(*seals);
  if (!holds.ok()) return holds.status();
  const auto size = static_cast<uint64_t>(*last);
  if (*holds && complete && check.checked() < size) check.Unsigned(size);
  if (check.checked() == static_cast<uint64_t>(*checked)) return absl::OkStatus();
  const auto* own = keys->For(store.device().device_id, check.checked() + 1, check.checked() + 1);
  if (own != nullptr) {
    if (absl::Status s = AdoptDeviceKey(store.home(), own->bytes()); !s.ok()) return s;
  }
  return store.Set(MetaKey::kSealedUpTo, static_cast<int64_t>(check.checked()));
}

}  // namespace rundlet::client

#ifndef RUNDLET_CORE_EVIDENCE_KEY_RING_H_
#define RUNDLET_CORE_EVIDENCE_KEY_RING_H_

#include <algorithm>
#include <cstdint>
#include <map>

#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"

namespace rundlet::evidence {

// By which key each device signs, from which place of the journal on: what the journal's own
// entries (v1.DeviceEnrolled) say. Not safe to share between threads while it is filled.
class KeyRing {
 public:
  // The entry at place `seq` says that this is the device's key.
  void Add(const Uuid& device, uint64_t seq, const PublicKey& key) {
    keys_[device].insert_or_assign(seq, key);
    first_place_ = std::min(first_place_, seq);
  }

  // The key by which the device has to sign what is new at places `first` to `last`: the last that
  // it said before; or, where it had none, the first that it says among them. nullptr: none.
  const PublicKey* For(const Uuid& device, uint64_t first, uint64_t last) const;

  size_t devices() const { return keys_.size(); }
  // The first place at which any device says a key; UINT64_MAX if none does.
  uint64_t first_place() const { return first_place_; }

 private:
  std::map<Uuid, std::map<uint64_t, PublicKey>> keys_;  // by place
  uint64_t first_place_ = UINT64_MAX;
};

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_KEY_RING_H_

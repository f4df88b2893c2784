#ifndef RUNDLET_SERVER_CELLAR_PRESENT_DEVICES_H_
#define RUNDLET_SERVER_CELLAR_PRESENT_DEVICES_H_

#include "absl/container/flat_hash_map.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/base/uuid.h"
#include "server/cellar/push.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// The devices of a batch as they stand while its cellar's head is locked. A push was let in and its
// signature verified some time before, by what was known of the device then; since, the device may
// have been revoked, its member's role changed, or its key.
//
// For one transaction, one thread. Whoever changes devices holds the head's lock, too, so that
// what was read stays so until the transaction ends.
class PresentDevices {
 public:
  // Looks up the devices of these pushes, all at once.
  static absl::StatusOr<PresentDevices> Of(CellarTransaction& transaction,
                                           absl::Span<Push* const> pushes);

  // Brings push.device up to now, or refuses the push: DEVICE_REVOKED; TOKEN_REFUSED, where the
  // device is not there any more; BAD_SIGNATURE, where the key that it was verified with is not the
  // device's any more. The push is one of those that were looked up for.
  void BringUp(Push& push) const;

  // The push is judged: where it brought a new key, the device's next pushes are held to that one,
  // in this batch and from then on.
  absl::Status TakeKey(const Push& push);

 private:
  explicit PresentDevices(CellarTransaction& transaction) : devices_(transaction) {}

  DeviceStore devices_;
  absl::flat_hash_map<Uuid, Device> present_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_PRESENT_DEVICES_H_

#include "server/cellar/present_devices.h"

#include <utility>

#include "server/cellar/signed_push.h"
#include "server/errors.h"

namespace rundlet::server {

absl::Status PresentDevices::BringUp(Push& push) {
  auto it = present_.find(push.device.device_id);
  if (it == present_.end()) {
    absl::StatusOr<Device> device = devices_.Find(push.device.device_id);
    if (absl::IsNotFound(device.status())) {
      push.refused = MakeError(Error::kTokenRefused);
      return absl::OkStatus();
    }
    if (!device.ok()) return device.status();
    it = present_.emplace(push.device.device_id, *std::move(device)).first;
  }
  const Device& present = it->second;
  push.refused = absl::OkStatus();
  if (present.revoked_at.has_value()) {
    push.refused = MakeError(Error::kDeviceRevoked);
  } else if (present.public_key != push.device.public_key) {
    push.refused = MakeError(Error::kBadSignature, "the device has another key since");
  } else {
    push.device = present;
  }
  return absl::OkStatus();
}

absl::Status PresentDevices::TakeKey(const Push& push) {
  const v1::DeviceEnrolled* said = NewKeyIn(push);
  if (said == nullptr || !push.device.public_key.has_value() ||
      said->public_key() == push.device.public_key->bytes())
    return absl::OkStatus();
  const absl::StatusOr<evidence::PublicKey> key =
      evidence::PublicKey::FromBytes(said->public_key());
  if (!key.ok()) return key.status();
  present_[push.device.device_id].public_key = *key;
  return devices_.SetPublicKey(push.device.device_id, *key);
}

}  // namespace rundlet::server

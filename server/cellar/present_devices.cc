#include "server/cellar/present_devices.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "server/cellar/signed_push.h"
#include "server/errors.h"

namespace rundlet::server {

absl::StatusOr<PresentDevices> PresentDevices::Of(CellarTransaction& transaction,
                                                  absl::Span<Push* const> pushes) {
  PresentDevices present(transaction);
  std::vector<Uuid> ids;
  for (const Push* push : pushes) ids.push_back(push->device.device_id);
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  absl::StatusOr<std::vector<Device>> devices = present.devices_.FindThese(ids);
  if (!devices.ok()) return devices.status();
  for (Device& device : *devices) {
    const Uuid id = device.device_id;
    present.present_.emplace(id, std::move(device));
  }
  return present;
}

void PresentDevices::BringUp(Push& push) const {
  const auto it = present_.find(push.device.device_id);
  if (it == present_.end()) {
    push.refused = MakeError(Error::kTokenRefused);
    return;
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

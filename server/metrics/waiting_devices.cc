#include "server/metrics/waiting_devices.h"

#include <algorithm>

namespace rundlet::server {

void WaitingDevices::Told(const Uuid& device_id, absl::Duration oldest) {
  const std::string key = device_id.ToBytes();
  absl::MutexLock lock(&mutex_);
  // What has nothing waiting, as most, takes no place.
  if (oldest <= absl::ZeroDuration()) {
    oldest_.Forget(key);
  } else {
    oldest_.At(key, oldest) = oldest;
  }
}

WaitingDevices::Summary WaitingDevices::Sum() const {
  Summary summary;
  absl::MutexLock lock(&mutex_);
  oldest_.ForEach([&summary](absl::Duration oldest) {
    ++summary.devices;
    summary.oldest = std::max(summary.oldest, oldest);
  });
  return summary;
}

}  // namespace rundlet::server

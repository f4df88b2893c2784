#ifndef RUNDLET_SERVER_SERVICE_PUSH_METER_H_
#define RUNDLET_SERVER_SERVICE_PUSH_METER_H_

#include <array>

#include "absl/time/time.h"
#include "server/cellar/push.h"
#include "server/metrics/registry.h"
#include "server/metrics/waiting_devices.h"

namespace rundlet::server {

// Counts what became of entries that were pushed, and how long they had been waiting on their
// devices. Thread-safe.
class PushMeter {
 public:
  // A push that was decided.
  void Decided(const PushResult& result);
  // A push that has come in, before it is decided; its entries' ages are by their devices' clocks.
  void CameIn(const Push& push, absl::Time now);

  WaitingDevices& waiting_devices() { return waiting_devices_; }

  void AddTo(Registry& registry) const;

 private:
  std::array<Counter, v1::DispositionKind_ARRAYSIZE> dispositions_;
  std::array<Counter, v1::ReturnReason_ARRAYSIZE> reasons_;
  Histogram oldest_{kAgeBounds};
  WaitingDevices waiting_devices_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_PUSH_METER_H_

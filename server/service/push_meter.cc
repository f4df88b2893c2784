#include "server/service/push_meter.h"

#include <algorithm>
#include <limits>

#include "absl/strings/ascii.h"
#include "absl/strings/strip.h"

namespace rundlet::server {
namespace {

// "recorded" of DISPOSITION_KIND_RECORDED.
std::string WordOf(const std::string& name, absl::string_view prefix) {
  return absl::AsciiStrToLower(absl::StripPrefix(name, prefix));
}

}  // namespace

void PushMeter::Decided(const PushResult& result) {
  for (const v1::Disposition& disposition : result.dispositions) {
    dispositions_.at(static_cast<size_t>(disposition.kind())).Add();
    if (disposition.kind() == v1::DISPOSITION_KIND_RETURNED)
      reasons_.at(static_cast<size_t>(disposition.reason())).Add();
  }
}

void PushMeter::CameIn(const Push& push, absl::Time now) {
  int64_t oldest = std::numeric_limits<int64_t>::max();
  for (const PushedEntry& pushed : push.entries) {
    // What could not be read says nothing.
    if (pushed.entry.written_at_us() > 0) oldest = std::min(oldest, pushed.entry.written_at_us());
  }
  if (oldest == std::numeric_limits<int64_t>::max()) return;
  oldest_.Observe(std::max(absl::ZeroDuration(), now - absl::FromUnixMicros(oldest)));
}

void PushMeter::AddTo(Registry& registry) const {
  registry.Counters(
      "rundlet_pushed_entries",
      "Entries that devices handed in and that were decided, by what became of them.");
  for (int kind = 1; kind < v1::DispositionKind_ARRAYSIZE; ++kind) {
    registry.Add(dispositions_[static_cast<size_t>(kind)],
                 {{"disposition", WordOf(v1::DispositionKind_Name(kind), "DISPOSITION_KIND_")}});
  }
  registry.Counters("rundlet_returned_entries", "Entries that were not taken in, by reason.");
  for (int reason = 1; reason < v1::ReturnReason_ARRAYSIZE; ++reason) {
    registry.Add(reasons_[static_cast<size_t>(reason)],
                 {{"reason", WordOf(v1::ReturnReason_Name(reason), "RETURN_REASON_")}});
  }
  registry.Histograms(
      "rundlet_push_oldest_entry_age_seconds",
      "How long ago the oldest entry of a push was written, by the device's clock.");
  registry.Add(oldest_);
  registry.Gauges(
      "rundlet_outbox_oldest_age_seconds",
      "The longest wait that a device said, at its last pull, of an entry that it still "
      "has to hand in.");
  registry.Add([this] { return absl::ToDoubleSeconds(waiting_devices_.Sum().oldest); });
  registry.Gauges(
      "rundlet_outbox_devices",
      "Devices that said, at their last pull, that they still have to hand something in.");
  registry.Add([this] { return static_cast<double>(waiting_devices_.Sum().devices); });
}

}  // namespace rundlet::server

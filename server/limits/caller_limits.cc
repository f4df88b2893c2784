#include "server/limits/caller_limits.h"

#include "server/errors.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kCallsEndSoon = absl::Milliseconds(500);

absl::Status TooMany(absl::string_view what, absl::Duration wait) {
  return MakeError(Error::kTooManyCalls, what, wait);
}

}  // namespace

bool CallerLimits::Enter(InFlight& in_flight, const std::string& key, int most) {
  int& count = in_flight[key];
  if (count >= most) return false;
  ++count;
  return true;
}

void CallerLimits::Leave(InFlight& in_flight, const std::string& key) {
  const auto found = in_flight.find(key);
  if (found != in_flight.end() && --found->second == 0) in_flight.erase(found);
}

CallerLimits::Ticket::~Ticket() {
  absl::MutexLock lock(&limits_.mutex_);
  Leave(limits_.address_calls_, address_);
  if (!device_.empty()) Leave(limits_.device_calls_, device_);
}

absl::StatusOr<std::shared_ptr<CallerLimits::Ticket>> CallerLimits::Begin(
    const std::string& address) {
  const absl::Time now = now_();
  absl::MutexLock lock(&mutex_);
  TokenBucket& calls = addresses_.At(address, TokenBucket(options_.address_calls, now));
  const absl::Duration wait = calls.Take(1, options_.address_calls, now);
  if (wait > absl::ZeroDuration()) return TooMany("calls from this address", wait);
  if (!Enter(address_calls_, address, options_.address_in_flight))
    return TooMany("calls from this address at a time", kCallsEndSoon);
  return std::shared_ptr<Ticket>(new Ticket(*this, address));
}

absl::Status CallerLimits::Identify(Ticket& ticket, const Uuid& device_id, size_t push_bytes) {
  const absl::Time now = now_();
  const std::string key = device_id.ToBytes();
  absl::MutexLock lock(&mutex_);
  DeviceBudget& budget = devices_.At(
      key, {TokenBucket(options_.device_calls, now), TokenBucket(options_.device_push_bytes, now)});
  absl::Duration wait = budget.calls.Take(1, options_.device_calls, now);
  if (wait > absl::ZeroDuration()) return TooMany("calls of this device", wait);
  wait = budget.push_bytes.Take(static_cast<double>(push_bytes), options_.device_push_bytes, now);
  if (wait > absl::ZeroDuration()) return TooMany("bytes handed in by this device", wait);
  if (!Enter(device_calls_, key, options_.device_in_flight))
    return TooMany("calls of this device at a time", kCallsEndSoon);
  ticket.device_ = key;
  return absl::OkStatus();
}

}  // namespace rundlet::server

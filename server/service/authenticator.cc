#include "server/service/authenticator.h"

#include "absl/strings/match.h"
#include "absl/strings/strip.h"
#include "server/errors.h"
#include "server/service/token.h"

namespace rundlet::server {
namespace {

constexpr absl::string_view kScheme = "Bearer ";
constexpr size_t kMaxKnown = 10'000;

}  // namespace

absl::StatusOr<Device> Authenticator::Authenticate(absl::string_view authorization,
                                                   absl::Time deadline) {
  // The scheme's name is case-insensitive (RFC 9110, section 11.1).
  if (!absl::StartsWithIgnoreCase(authorization, kScheme)) return MakeError(Error::kTokenMissing);
  const absl::string_view token = authorization.substr(kScheme.size());
  const Hash hash = HashToken(token);
  const std::string key(HashBytes(hash));
  {
    absl::MutexLock lock(&mutex_);
    const auto known = known_.find(key);
    if (known != known_.end() && now_() < known->second.until) return known->second.device;
  }
  absl::StatusOr<Device> device = LookUp(token, hash, deadline);
  absl::MutexLock lock(&mutex_);
  if (!device.ok()) {
    known_.erase(key);
    return device.status();
  }
  if (known_.size() >= kMaxKnown) known_.clear();
  known_[key] = {*device, now_() + keep_};
  return device;
}

void Authenticator::Forget(absl::string_view authorization) {
  if (!absl::StartsWithIgnoreCase(authorization, kScheme)) return;
  const Hash hash = HashToken(authorization.substr(kScheme.size()));
  absl::MutexLock lock(&mutex_);
  known_.erase(std::string(HashBytes(hash)));
}

absl::StatusOr<Device> Authenticator::LookUp(absl::string_view token, const Hash& hash,
                                             absl::Time deadline) {
  const absl::StatusOr<TokenOwner> owner = ParseToken(token);
  if (!owner.ok()) return owner.status();
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, owner->cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  absl::StatusOr<Device> device = DeviceStore(**transaction).Find(owner->device_id);
  // Whether the device exists is nobody's business who has not its token.
  if (absl::IsNotFound(device.status())) return MakeError(Error::kTokenRefused);
  if (!device.ok()) return device.status();
  if (!EqualHashes(device->token_sha256, hash)) return MakeError(Error::kTokenRefused);
  if (device->revoked_at.has_value()) return MakeError(Error::kDeviceRevoked);
  return device;
}

}  // namespace rundlet::server

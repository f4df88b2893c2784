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

std::optional<Authenticator::Known> Authenticator::Recall(const std::string& key) {
  absl::MutexLock lock(&mutex_);
  const auto known = known_.find(key);
  if (known == known_.end()) return std::nullopt;
  return known->second;
}

absl::StatusOr<Device> Authenticator::Authenticate(absl::string_view authorization,
                                                   const std::string& address, absl::Time deadline,
                                                   Trust trust) {
  // The scheme's name is case-insensitive (RFC 9110, section 11.1).
  if (!absl::StartsWithIgnoreCase(authorization, kScheme)) return MakeError(Error::kTokenMissing);
  const absl::string_view token = authorization.substr(kScheme.size());
  const Hash hash = HashToken(token);
  const std::string key(HashBytes(hash));
  uint64_t forgotten;
  {
    absl::MutexLock lock(&mutex_);
    forgotten = forgotten_;
  }
  const std::optional<Known> known = Recall(key);
  if (trust == Trust::kRemembered && known.has_value() && now_() < known->until)
    return known->device;
  std::shared_ptr<CallerLimits::Ticket> turn;
  if (!known.has_value()) {
    auto taken = TakeTurn(address);
    if (!taken.ok()) return taken.status();
    turn = *std::move(taken);
  }
  absl::StatusOr<Device> device = LookUp(token, hash, deadline);
  if (absl::IsUnauthenticated(device.status())) failures_.Failed(address);
  absl::MutexLock lock(&mutex_);
  if (!device.ok()) {
    if (absl::IsUnauthenticated(device.status())) known_.erase(key);
    return device.status();
  }
  if (known_.size() >= kMaxKnown) known_.clear();
  // What was looked up before somebody said that it has changed is not believed again.
  known_[key] = {*device, forgotten == forgotten_ ? now_() + keep_ : absl::InfinitePast()};
  return device;
}

absl::StatusOr<std::shared_ptr<CallerLimits::Ticket>> Authenticator::TakeTurn(
    const std::string& address) {
  if (failures_.WaitOf(address) <= absl::ZeroDuration()) return nullptr;
  auto turn = suspects_.Begin(address);
  if (!turn.ok()) return MakeError(Error::kTooManyFailures);
  return turn;
}

void Authenticator::Forget(const Uuid& cellar_id) {
  absl::MutexLock lock(&mutex_);
  ++forgotten_;
  for (auto& [key, known] : known_) {
    if (known.device.cellar_id == cellar_id) known.until = absl::InfinitePast();
  }
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

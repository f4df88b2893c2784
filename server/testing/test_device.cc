#include "server/testing/test_device.h"

#include <array>
#include <utility>

#include "absl/time/clock.h"
#include "server/random.h"
#include "server/service/token.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

absl::StatusOr<NewDevice> MakeTestDevice(Admin& admin, Device device) {
  std::array<uint8_t, 10> random;
  TokenSecret secret;
  FillRandom(absl::MakeSpan(random));
  FillRandom(absl::MakeSpan(secret));
  device.device_id = Uuid::Version7(absl::ToUnixMillis(absl::Now()), random);
  device.device_name = "phone";
  const std::string token = FormatToken({device.cellar_id, device.device_id}, secret);
  device.token_sha256 = HashToken(token);
  const auto transaction =
      CellarTransaction::Begin(admin.pool(), device.cellar_id, admin.Deadline());
  if (!transaction.ok()) return transaction.status();
  DeviceStore devices(**transaction);
  absl::Status status = devices.MakeDevice(device, absl::Now());
  if (!status.ok()) return status;
  absl::StatusOr<Device> kept = devices.Find(device.device_id);
  if (!kept.ok()) return kept.status();
  status = (*transaction)->Commit();
  if (!status.ok()) return status;
  return NewDevice{.device = *std::move(kept), .token = token};
}

absl::StatusOr<NewDevice> MakeTestCellar(Admin& admin, absl::string_view name) {
  const auto made = admin.NewCellar(name, "Isolde Thornbury", absl::Hours(1));
  if (!made.ok()) return made.status();
  return MakeTestDevice(admin, {.cellar_id = made->cellar_id,
                                .member_id = made->row.member_id,
                                .member_name = "Isolde Thornbury",
                                .role = MemberRole::kMaster});
}

}  // namespace rundlet::server

#include "server/service/admission.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/rights/rights.h"
#include "server/errors.h"
#include "server/limits/peer_address.h"

namespace rundlet::server {
namespace {

// For a database connection, where the caller names no deadline.
constexpr absl::Duration kLongestWait = absl::Seconds(30);

}  // namespace

absl::string_view AuthorizationOf(const grpc::CallbackServerContext& context) {
  const auto& metadata = context.client_metadata();
  const auto it = metadata.find("authorization");
  return it == metadata.end() ? absl::string_view()
                              : absl::string_view(it->second.data(), it->second.size());
}

absl::Time DeadlineOf(const grpc::CallbackServerContext& context) {
  return absl::FromChrono(context.deadline());
}

absl::Time Admission::PatienceOf(const grpc::CallbackServerContext& context) const {
  return std::min(DeadlineOf(context), now_() + kLongestWait);
}

absl::StatusOr<Admission::Ticket> Admission::Begin(const grpc::CallbackServerContext& context) {
  return limits_.Begin(AddressOfPeer(context.peer()));
}

absl::StatusOr<Device> Admission::Admit(absl::string_view method,
                                        const grpc::CallbackServerContext& context,
                                        const Ticket& ticket, size_t push_bytes) {
  if (context.IsCancelled() || now_() >= DeadlineOf(context)) return MakeError(Error::kTooLate);
  absl::StatusOr<Device> device =
      authenticator_.Authenticate(AuthorizationOf(context), ticket->address(), PatienceOf(context));
  if (!device.ok()) return device.status();
  if (!MayDo(device->role, RoleForCall(method))) {
    return MakeError(Error::kNotAllowed,
                     absl::StrCat("you are a ", RoleName(device->role), " here, and it needs a ",
                                  RoleName(RoleForCall(method))));
  }
  const absl::Status within = limits_.Identify(*ticket, device->device_id, push_bytes);
  if (!within.ok()) return within;
  return device;
}

}  // namespace rundlet::server

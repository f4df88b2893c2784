#include "server/service/cellar_service.h"

#include <memory>
#include <utility>

#include "server/cellar/limits.h"
#include "server/cellar/push.h"
#include "server/cellar/signed_push.h"
#include "server/errors.h"
#include "server/service/finish.h"
#include "server/service/members.h"
#include "server/service/queries.h"

namespace rundlet::server {
namespace {

absl::Status Validate(const v1::PushRequest& request) {
  if (request.entries_size() > kMaxPushEntries) return MakeError(Error::kTooManyEntries);
  size_t bytes = 0;
  for (const std::string& entry : request.entries()) bytes += entry.size();
  return bytes > kMaxPushBytes ? MakeError(Error::kPushTooLarge) : absl::OkStatus();
}

// What a device says of its outbox, beside what it asks.
void NoteWaiting(const Device& device, const v1::PullRequest& request, PushMeter& meter) {
  meter.waiting_devices().Told(device.device_id, absl::Microseconds(request.oldest_waiting_us()));
}
template <typename Request>
void NoteWaiting(const Device&, const Request&, PushMeter&) {}

}  // namespace

template <typename Request, typename Response>
absl::Status CellarService::HandleNow(const char* method, grpc::CallbackServerContext* context,
                                      const Admission::Ticket& ticket, const Request& request,
                                      Response& response) {
  const absl::StatusOr<Device> device = parts_.admission.Admit(method, *context, ticket, 0);
  if (!device.ok()) return device.status();
  const absl::Status valid = Validate(request);
  if (!valid.ok()) return valid;
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction = CellarTransaction::Begin(
      parts_.pool, device->cellar_id, parts_.admission.PatienceOf(*context));
  if (!transaction.ok()) return transaction.status();
  NoteWaiting(*device, request, parts_.meter);
  return Answer({.transaction = **transaction,
                 .cache = parts_.cache,
                 .device = *device,
                 .now = parts_.now(),
                 .authenticator = parts_.authenticator,
                 .signing_key = parts_.signing_key},
                request, response);
}

template <typename Request, typename Response>
grpc::ServerUnaryReactor* CellarService::Handle(const char* method,
                                                grpc::CallbackServerContext* context,
                                                const Request* request, Response* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  const absl::StatusOr<Admission::Ticket> ticket = parts_.admission.Begin(*context);
  if (!ticket.ok()) {
    Finish(method, ticket.status(), reactor);
    return reactor;
  }
  const bool taken = parts_.workers.TrySubmit([=, this, ticket = *ticket]() mutable {
    const absl::Status status = HandleNow(method, context, ticket, *request, *response);
    ticket = nullptr;
    Finish(method, status, reactor);
  });
  if (!taken) Finish(method, MakeError(Error::kBusy), reactor);
  return reactor;
}

grpc::ServerUnaryReactor* CellarService::Push(grpc::CallbackServerContext* context,
                                              const v1::PushRequest* request,
                                              v1::PushResponse* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  const absl::StatusOr<Admission::Ticket> ticket = parts_.admission.Begin(*context);
  if (!ticket.ok()) {
    Finish("Push", ticket.status(), reactor);
    return reactor;
  }
  const bool taken = parts_.workers.TrySubmit(
      [=, this, ticket = *ticket] { PushNow(context, request, response, reactor, ticket); });
  if (!taken) Finish("Push", MakeError(Error::kBusy), reactor);
  return reactor;
}

absl::Status CellarService::VerifySigned(const grpc::CallbackServerContext& context,
                                         const CallerLimits::Ticket& ticket, server::Push& push) {
  absl::Status status = VerifySignature(push.device, push.entries, push.signature);
  if (status.ok()) return status;
  // The device may have said a new key a moment ago, to this server or to another.
  absl::StatusOr<Device> device = parts_.authenticator.Authenticate(
      AuthorizationOf(context), ticket.address(), parts_.admission.PatienceOf(context),
      Authenticator::Trust::kLookedUpNow);
  if (!device.ok()) return device.status();
  if (device->public_key == push.device.public_key) return status;
  push.device = *std::move(device);
  return VerifySignature(push.device, push.entries, push.signature);
}

void CellarService::PushNow(grpc::CallbackServerContext* context, const v1::PushRequest* request,
                            v1::PushResponse* response, grpc::ServerUnaryReactor* reactor,
                            const Admission::Ticket& ticket) {
  absl::StatusOr<Device> device =
      parts_.admission.Admit("Push", *context, ticket, request->ByteSizeLong());
  if (!device.ok()) return Finish("Push", device.status(), reactor);
  const absl::Status valid = Validate(*request);
  if (!valid.ok()) return Finish("Push", valid, reactor);

  auto push = std::make_unique<server::Push>();
  push->device = *std::move(device);
  push->deadline = DeadlineOf(*context);
  push->abandoned = [context] { return context->IsCancelled(); };
  push->signature = request->signature();
  Sha256 sha;
  push->entries.reserve(request->entries_size());
  for (const std::string& bytes : request->entries()) {
    push->entries.push_back(CheckAlone(push->device, bytes, sha));
    push->bytes += bytes.size() + kEntryOverheadBytes;
  }
  const absl::Status is_signed = VerifySigned(*context, *ticket, *push);
  if (!is_signed.ok()) return Finish("Push", is_signed, reactor);
  parts_.meter.CameIn(*push, parts_.now());
  push->done = [=, ticket = ticket, meter = &parts_.meter](absl::StatusOr<PushResult> result) {
    if (result.ok()) {
      meter->Decided(*result);
      response->set_journal_size(result->journal_size);
      for (v1::Disposition& disposition : result->dispositions) {
        *response->add_dispositions() = std::move(disposition);
      }
    }
    Finish("Push", result.status(), reactor);
  };
  parts_.pushes.Submit(std::move(push));
}

grpc::ServerUnaryReactor* CellarService::GetDevice(grpc::CallbackServerContext* context,
                                                   const v1::GetDeviceRequest* request,
                                                   v1::GetDeviceResponse* response) {
  return Handle("GetDevice", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::Pull(grpc::CallbackServerContext* context,
                                              const v1::PullRequest* request,
                                              v1::PullResponse* response) {
  return Handle("Pull", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetCheckpoint(grpc::CallbackServerContext* context,
                                                       const v1::GetCheckpointRequest* request,
                                                       v1::GetCheckpointResponse* response) {
  return Handle("GetCheckpoint", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetInclusion(grpc::CallbackServerContext* context,
                                                      const v1::GetInclusionRequest* request,
                                                      v1::GetInclusionResponse* response) {
  return Handle("GetInclusion", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListDevices(grpc::CallbackServerContext* context,
                                                     const v1::ListDevicesRequest* request,
                                                     v1::ListDevicesResponse* response) {
  return Handle("ListDevices", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::RevokeDevice(grpc::CallbackServerContext* context,
                                                      const v1::RevokeDeviceRequest* request,
                                                      v1::RevokeDeviceResponse* response) {
  return Handle("RevokeDevice", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::CreateInvitation(
    grpc::CallbackServerContext* context, const v1::CreateInvitationRequest* request,
    v1::CreateInvitationResponse* response) {
  return Handle("CreateInvitation", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListInvitations(grpc::CallbackServerContext* context,
                                                         const v1::ListInvitationsRequest* request,
                                                         v1::ListInvitationsResponse* response) {
  return Handle("ListInvitations", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::RevokeInvitation(
    grpc::CallbackServerContext* context, const v1::RevokeInvitationRequest* request,
    v1::RevokeInvitationResponse* response) {
  return Handle("RevokeInvitation", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::SetMemberRole(grpc::CallbackServerContext* context,
                                                       const v1::SetMemberRoleRequest* request,
                                                       v1::SetMemberRoleResponse* response) {
  return Handle("SetMemberRole", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::RemoveMember(grpc::CallbackServerContext* context,
                                                      const v1::RemoveMemberRequest* request,
                                                      v1::RemoveMemberResponse* response) {
  return Handle("RemoveMember", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetBoard(grpc::CallbackServerContext* context,
                                                  const v1::GetBoardRequest* request,
                                                  v1::GetBoardResponse* response) {
  return Handle("GetBoard", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListJournal(grpc::CallbackServerContext* context,
                                                     const v1::ListJournalRequest* request,
                                                     v1::ListJournalResponse* response) {
  return Handle("ListJournal", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetTrace(grpc::CallbackServerContext* context,
                                                  const v1::GetTraceRequest* request,
                                                  v1::GetTraceResponse* response) {
  return Handle("GetTrace", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListHeld(grpc::CallbackServerContext* context,
                                                  const v1::ListHeldRequest* request,
                                                  v1::ListHeldResponse* response) {
  return Handle("ListHeld", context, request, response);
}

}  // namespace rundlet::server

#include "server/service/cellar_service.h"

#include <memory>
#include <utility>

#include "server/cellar/limits.h"
#include "server/cellar/push.h"
#include "server/cellar/signed_push.h"
#include "server/errors.h"
#include "server/log/log.h"
#include "server/service/queries.h"

namespace rundlet::server {
namespace {

// For a database connection, where the caller names no deadline.
constexpr absl::Duration kLongestWait = absl::Seconds(30);

absl::string_view Authorization(const grpc::CallbackServerContext& context) {
  const auto& metadata = context.client_metadata();
  const auto it = metadata.find("authorization");
  return it == metadata.end() ? absl::string_view()
                              : absl::string_view(it->second.data(), it->second.size());
}

absl::Time Deadline(const grpc::CallbackServerContext& context) {
  return absl::FromChrono(context.deadline());
}

// The end of every call. What the caller is not told stands in the log.
void Finish(const char* method, const absl::Status& status, grpc::ServerUnaryReactor* reactor) {
  if (!status.ok()) {
    const bool is_ours = ReasonOf(status).empty();
    Log(is_ours ? Level::kWarning : Level::kDebug, "call_failed",
        {{"method", method}, {"error", status}});
  }
  reactor->Finish(ToGrpcStatus(ForCaller(status)));
}

absl::Status Validate(const v1::PushRequest& request) {
  if (request.entries_size() > kMaxPushEntries) return MakeError(Error::kTooManyEntries);
  size_t bytes = 0;
  for (const std::string& entry : request.entries()) bytes += entry.size();
  return bytes > kMaxPushBytes ? MakeError(Error::kPushTooLarge) : absl::OkStatus();
}

}  // namespace

template <typename Request, typename Response>
absl::Status CellarService::ReadNow(grpc::CallbackServerContext* context, const Request& request,
                                    Response& response) {
  const absl::Status valid = Validate(request);
  if (!valid.ok()) return valid;
  if (context->IsCancelled() || parts_.now() >= Deadline(*context)) {
    return MakeError(Error::kTooLate);
  }
  const absl::Time deadline = std::min(Deadline(*context), parts_.now() + kLongestWait);
  const absl::StatusOr<Device> device =
      parts_.authenticator.Authenticate(Authorization(*context), deadline);
  if (!device.ok()) return device.status();
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(parts_.pool, device->cellar_id, deadline);
  if (!transaction.ok()) return transaction.status();
  return Answer({**transaction, parts_.cache, *device, parts_.signing_key}, request, response);
}

template <typename Request, typename Response>
grpc::ServerUnaryReactor* CellarService::Read(const char* method,
                                              grpc::CallbackServerContext* context,
                                              const Request* request, Response* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  const bool taken = parts_.workers.TrySubmit(
      [=, this] { Finish(method, ReadNow(context, *request, *response), reactor); });
  if (!taken) Finish(method, MakeError(Error::kBusy), reactor);
  return reactor;
}

grpc::ServerUnaryReactor* CellarService::Push(grpc::CallbackServerContext* context,
                                              const v1::PushRequest* request,
                                              v1::PushResponse* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  const bool taken =
      parts_.workers.TrySubmit([=, this] { PushNow(context, request, response, reactor); });
  if (!taken) Finish("Push", MakeError(Error::kBusy), reactor);
  return reactor;
}

absl::Status CellarService::VerifySigned(absl::string_view authorization, absl::Time deadline,
                                         server::Push& push) {
  absl::Status status = VerifySignature(push.device, push.entries, push.signature);
  if (status.ok()) return status;
  // The device may have said a new key a moment ago, to this server or to another.
  parts_.authenticator.Forget(authorization);
  absl::StatusOr<Device> device = parts_.authenticator.Authenticate(authorization, deadline);
  if (!device.ok()) return device.status();
  if (device->public_key == push.device.public_key) return status;
  push.device = *std::move(device);
  return VerifySignature(push.device, push.entries, push.signature);
}

void CellarService::PushNow(grpc::CallbackServerContext* context, const v1::PushRequest* request,
                            v1::PushResponse* response, grpc::ServerUnaryReactor* reactor) {
  const absl::Status valid = Validate(*request);
  if (!valid.ok()) return Finish("Push", valid, reactor);
  if (context->IsCancelled() || parts_.now() >= Deadline(*context)) {
    return Finish("Push", MakeError(Error::kTooLate), reactor);
  }
  const absl::Time deadline = std::min(Deadline(*context), parts_.now() + kLongestWait);
  absl::StatusOr<Device> device =
      parts_.authenticator.Authenticate(Authorization(*context), deadline);
  if (!device.ok()) return Finish("Push", device.status(), reactor);

  auto push = std::make_unique<server::Push>();
  push->device = *std::move(device);
  push->deadline = Deadline(*context);
  push->abandoned = [context] { return context->IsCancelled(); };
  push->signature = request->signature();
  Sha256 sha;
  push->entries.reserve(request->entries_size());
  for (const std::string& bytes : request->entries()) {
    push->entries.push_back(CheckAlone(push->device, bytes, sha));
    push->bytes += bytes.size() + kEntryOverheadBytes;
  }
  const absl::Status is_signed = VerifySigned(Authorization(*context), deadline, *push);
  if (!is_signed.ok()) return Finish("Push", is_signed, reactor);
  push->done = [=](absl::StatusOr<PushResult> result) {
    if (result.ok()) {
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
  return Read("GetDevice", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::Pull(grpc::CallbackServerContext* context,
                                              const v1::PullRequest* request,
                                              v1::PullResponse* response) {
  return Read("Pull", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetCheckpoint(grpc::CallbackServerContext* context,
                                                       const v1::GetCheckpointRequest* request,
                                                       v1::GetCheckpointResponse* response) {
  return Read("GetCheckpoint", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetInclusion(grpc::CallbackServerContext* context,
                                                      const v1::GetInclusionRequest* request,
                                                      v1::GetInclusionResponse* response) {
  return Read("GetInclusion", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetBoard(grpc::CallbackServerContext* context,
                                                  const v1::GetBoardRequest* request,
                                                  v1::GetBoardResponse* response) {
  return Read("GetBoard", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListJournal(grpc::CallbackServerContext* context,
                                                     const v1::ListJournalRequest* request,
                                                     v1::ListJournalResponse* response) {
  return Read("ListJournal", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::GetTrace(grpc::CallbackServerContext* context,
                                                  const v1::GetTraceRequest* request,
                                                  v1::GetTraceResponse* response) {
  return Read("GetTrace", context, request, response);
}

grpc::ServerUnaryReactor* CellarService::ListHeld(grpc::CallbackServerContext* context,
                                                  const v1::ListHeldRequest* request,
                                                  v1::ListHeldResponse* response) {
  return Read("ListHeld", context, request, response);
}

}  // namespace rundlet::server

#include "server/service/join_service.h"

#include "server/errors.h"
#include "server/log/log.h"
#include "server/service/finish.h"
#include "server/service/join.h"

namespace rundlet::server {

grpc::ServerUnaryReactor* JoinService::Join(grpc::CallbackServerContext* context,
                                            const v1::JoinRequest* request,
                                            v1::JoinResponse* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  absl::StatusOr<Admission::Ticket> begun = parts_.admission.Begin(*context);
  if (!begun.ok()) {
    Finish("Join", begun.status(), reactor);
    return reactor;
  }
  const bool taken = parts_.workers.TrySubmit([=, this, ticket = *std::move(begun)]() mutable {
    const absl::Status status = JoinNow(*context, ticket->address(), *request, *response);
    if (!status.ok()) response->Clear();
    ticket = nullptr;
    Finish("Join", status, reactor);
  });
  if (!taken) Finish("Join", MakeError(Error::kBusy), reactor);
  return reactor;
}

absl::Status JoinService::JoinNow(const grpc::CallbackServerContext& context,
                                  const std::string& address, const v1::JoinRequest& request,
                                  v1::JoinResponse& response) {
  const absl::Duration wait = failures_.WaitOf(address);
  if (wait > absl::ZeroDuration()) return MakeError(Error::kTooManyFailures, "", wait);
  if (context.IsCancelled() || parts_.now() >= DeadlineOf(context))
    return MakeError(Error::kTooLate);
  const auto enrolment = CheckJoin(request);
  absl::Status status = enrolment.status();
  if (status.ok()) {
    const auto transaction = CellarTransaction::Begin(parts_.pool, enrolment->cellar_id,
                                                      parts_.admission.PatienceOf(context));
    if (!transaction.ok()) return transaction.status();
    status = LetIn(**transaction, request, *enrolment, parts_.now(), parts_.random, response);
  }
  if (absl::IsUnauthenticated(status)) failures_.Failed(address);
  if (!status.ok()) return status;
  // Where it asked again, its first token is void from now on.
  parts_.authenticator.Forget(enrolment->cellar_id);
  Log(Level::kInfo, "joined",
      {{"cellar", enrolment->cellar_id.ToString()}, {"device", enrolment->device_id.ToString()}});
  return absl::OkStatus();
}

}  // namespace rundlet::server

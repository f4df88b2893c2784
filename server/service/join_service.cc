#include "server/service/join_service.h"

#include "server/errors.h"
#include "server/limits/peer_address.h"
#include "server/log/log.h"
#include "server/service/finish.h"
#include "server/service/join.h"

namespace rundlet::server {

grpc::ServerUnaryReactor* JoinService::Join(grpc::CallbackServerContext* context,
                                            const v1::JoinRequest* request,
                                            v1::JoinResponse* response) {
  grpc::ServerUnaryReactor* reactor = context->DefaultReactor();
  const std::string address = AddressOfPeer(context->peer());
  absl::StatusOr<Admission::Ticket> begun = parts_.limits.Begin(address);
  const absl::Status status = begun.ok() ? CheckWait(address) : begun.status();
  if (!status.ok()) {
    Finish("Join", status, reactor);
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

absl::Status JoinService::CheckWait(const std::string& address) const {
  const absl::Duration wait = failures_.WaitOf(address);
  return wait > absl::ZeroDuration() ? MakeError(Error::kTooManyFailures, "", wait)
                                     : absl::OkStatus();
}

absl::Status JoinService::JoinNow(const grpc::CallbackServerContext& context,
                                  const std::string& address, const v1::JoinRequest& request,
                                  v1::JoinResponse& response) {
  // Again: others from there may have failed while this one waited.
  absl::Status status = CheckWait(address);
  if (!status.ok()) return status;
  if (context.IsCancelled() || parts_.now() >= DeadlineOf(context))
    return MakeError(Error::kTooLate);
  const auto enrolment = CheckJoin(request);
  status = enrolment.status();
  if (status.ok()) {
    const auto transaction = CellarTransaction::Begin(parts_.pool, enrolment->cellar_id,
                                                      parts_.admission.PatienceOf(context));
    if (!transaction.ok()) return transaction.status();
    status = LetIn(**transaction, request, *enrolment, parts_.now(), parts_.random, response);
  }
  // Whatever is refused, not what failed in the database.
  if (!ReasonOf(status).empty()) failures_.Failed(address);
  if (!status.ok()) return status;
  // Where it asked again, its first token is void from now on.
  parts_.authenticator.Forget(enrolment->cellar_id);
  Log(Level::kInfo, "joined",
      {{"cellar", enrolment->cellar_id.ToString()}, {"device", enrolment->device_id.ToString()}});
  return absl::OkStatus();
}

}  // namespace rundlet::server

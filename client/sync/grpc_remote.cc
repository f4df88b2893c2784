#include "client/sync/grpc_remote.h"

#include <grpcpp/grpcpp.h>

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "absl/time/clock.h"
#include "client/sync/channel.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kGreetingPatience = absl::Seconds(5);
constexpr absl::Duration kPagePatience = absl::Seconds(60);
constexpr int kTries = 4;
constexpr absl::Duration kPauseBetween = absl::Milliseconds(250);  // longer with each try

// The server is there and asks to be asked again; everything else is either final or a matter for
// the next sync.
bool WorthTryingAgain(absl::StatusCode code) {
  return code == absl::StatusCode::kResourceExhausted || code == absl::StatusCode::kAborted;
}

PushAnswer ToAnswer(const v1::Disposition& disposition) {
  PushAnswer answer{.seq = disposition.seq(), .reason = {}, .message = disposition.message()};
  switch (disposition.kind()) {
    case v1::DISPOSITION_KIND_RECORDED:
    case v1::DISPOSITION_KIND_ALREADY_RECORDED:
      answer.kind = PushAnswer::Kind::kRecorded;
      break;
    case v1::DISPOSITION_KIND_RETURNED: {
      answer.kind = PushAnswer::Kind::kReturned;
      absl::string_view reason = v1::ReturnReason_Name(disposition.reason());
      absl::ConsumePrefix(&reason, "RETURN_REASON_");
      answer.reason = reason.empty() ? "UNKNOWN" : std::string(reason);
      break;
    }
    // What this build does not know the answer to mean is asked again by a later one.
    default:
      answer.kind = PushAnswer::Kind::kNotYet;
      break;
  }
  return answer;
}

}  // namespace

absl::StatusOr<std::unique_ptr<GrpcRemote>> GrpcRemote::Connect(const Connection& connection,
                                                                absl::Time deadline) {
  const auto channel = OpenChannel(connection.server, connection.trust);
  if (!channel.ok()) return channel.status();
  return std::unique_ptr<GrpcRemote>(new GrpcRemote(connection, *channel, deadline));
}

GrpcRemote::GrpcRemote(const Connection& connection, const std::shared_ptr<grpc::Channel>& channel,
                       absl::Time deadline)
    : connection_(connection), deadline_(deadline), stub_(v1::CellarService::NewStub(channel)) {}

template <typename Request, typename Response>
absl::Status GrpcRemote::Call(grpc::Status (v1::CellarService::Stub::*method)(grpc::ClientContext*,
                                                                              const Request&,
                                                                              Response*),
                              const Request& request, absl::Duration patience, Response& response) {
  absl::Status status;
  for (int i = 0; i < kTries; ++i) {
    grpc::ClientContext context;
    context.AddMetadata("authorization", absl::StrCat("Bearer ", connection_.token));
    context.set_deadline(absl::ToChronoTime(std::min(deadline_, absl::Now() + patience)));
    response.Clear();
    const grpc::Status got = (stub_.get()->*method)(&context, request, &response);
    status = absl::Status(static_cast<absl::StatusCode>(got.error_code()), got.error_message());
    if (status.ok() || !WorthTryingAgain(status.code())) break;
    const absl::Duration pause = kPauseBetween * (i + 1);
    if (absl::Now() + pause >= deadline_) break;
    absl::SleepFor(pause);
  }
  return ExplainFailure(connection_, deadline_, status);
}

absl::StatusOr<Remote::Who> GrpcRemote::GetDevice() {
  v1::GetDeviceResponse response;
  absl::Status status = Call(&v1::CellarService::Stub::GetDevice, v1::GetDeviceRequest(),
                             kGreetingPatience, response);
  if (!status.ok()) return status;
  const auto cellar_id = Uuid::FromBytes(response.cellar_id());
  const auto device_id = Uuid::FromBytes(response.device_id());
  const auto member_id = Uuid::FromBytes(response.member_id());
  if (!cellar_id.ok() || !device_id.ok() || !member_id.ok()) {
    return absl::InternalError(
        absl::StrCat("the server at ", connection_.server, " does not say who we are"));
  }
  return Who{.device = {.cellar_id = *cellar_id,
                        .member_id = *member_id,
                        .device_id = *device_id,
                        .cellar_name = response.cellar_name(),
                        .member_name = response.member_name(),
                        .device_name = response.device_name(),
                        .role = response.role(),
                        .server = connection_.server},
             .last_device_seq = response.last_device_seq(),
             .public_key = response.public_key()};
}

absl::StatusOr<std::vector<PushAnswer>> GrpcRemote::Push(absl::Span<const StoredEntry> entries,
                                                         const std::string& signature) {
  v1::PushRequest request;
  request.set_signature(signature);
  for (const StoredEntry& entry : entries) request.add_entries(entry.bytes);
  v1::PushResponse response;
  if (absl::Status s = Call(&v1::CellarService::Stub::Push, request, kPagePatience, response);
      !s.ok())
    return s;
  std::vector<PushAnswer> answers;
  for (const v1::Disposition& disposition : response.dispositions())
    answers.push_back(ToAnswer(disposition));
  return answers;
}

absl::StatusOr<Remote::Page> GrpcRemote::Pull(uint64_t after_seq) {
  v1::PullRequest request;
  request.set_after_seq(after_seq);
  request.set_page_size(5000);
  request.set_oldest_waiting_us(oldest_waiting_us_);
  v1::PullResponse response;
  if (absl::Status s = Call(&v1::CellarService::Stub::Pull, request, kPagePatience, response);
      !s.ok())
    return s;
  Page page{.rows = {}, .journal_size = response.journal_size()};
  for (v1::JournalRow& row : *response.mutable_rows()) {
    page.rows.push_back({.seq = row.seq(),
                         .bytes = std::move(*row.mutable_entry()),
                         .received_at_us = row.received_at_us()});
  }
  for (v1::Seal& seal : *response.mutable_seals()) page.seals.push_back(std::move(seal));
  return page;
}

absl::StatusOr<Remote::Signed> GrpcRemote::GetCheckpoint(uint64_t size) {
  v1::GetCheckpointRequest request;
  request.set_size(size);
  v1::GetCheckpointResponse response;
  if (absl::Status s =
          Call(&v1::CellarService::Stub::GetCheckpoint, request, kGreetingPatience, response);
      !s.ok())
    return s;
  return Signed{.note = response.note(), .key = response.key()};
}

}  // namespace rundlet::client

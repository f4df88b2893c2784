#include "client/sync/connection.h"

#include <grpcpp/generic/generic_stub.h>
#include <grpcpp/grpcpp.h>

#include <algorithm>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "client/base/file.h"
#include "client/sync/certificate.h"
#include "client/sync/channel.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kCallPatience = absl::Seconds(20);

std::string ToText(const grpc::ByteBuffer& buffer) {
  std::vector<grpc::Slice> slices;
  std::string text;
  if (!buffer.Dump(&slices).ok()) return text;
  for (const grpc::Slice& slice : slices)
    text.append(reinterpret_cast<const char*>(slice.begin()), slice.size());
  return text;
}

}  // namespace

absl::StatusOr<Connection> ConnectionOf(const Store& store) {
  const StoreHome& home = store.home();
  if (store.device().server.empty() && FileExists(home.token())) {
    return absl::FailedPreconditionError(
        "the address of the server is not known any more: rundlet server --address HOST:PORT");
  }
  if (store.device().server.empty()) {
    return absl::FailedPreconditionError(
        "this cellar has no server: everything is in this book alone. To join one, ask who keeps "
        "it, or one of its masters, for an invitation, then: rundlet join");
  }
  const auto token = ReadFile(home.token());
  if (!token.ok()) {
    return absl::FailedPreconditionError(absl::StrCat(
        "the token of this device is gone (", token.status().message(),
        "): ask a cellar master for an invitation, then: rundlet join. What waits here "
        "is kept"));
  }
  auto trust = ReadServerTrust(home);
  if (absl::IsNotFound(trust.status())) {
    return absl::FailedPreconditionError(absl::StrCat(
        trust.status().message(), ", by which the server is known: ask who keeps it for the ",
        "fingerprint of its certificate, then: rundlet server --fingerprint HEX"));
  }
  if (!trust.ok()) return trust.status();
  return Connection{.server = store.device().server,
                    .trust = *std::move(trust),
                    .token = std::string(absl::StripAsciiWhitespace(*token))};
}

namespace {

// Why a call failed, for people: what gRPC says is for programmers.
absl::string_view PlainReason(const absl::Status& status) {
  if (absl::IsDeadlineExceeded(status)) return "it took too long";
  const std::string message = absl::AsciiStrToLower(status.message());
  if (absl::StrContains(message, "refused")) return "nothing listens there: is it started?";
  if (absl::StrContains(message, "dns") || absl::StrContains(message, "resol"))
    return "no machine has that name, or there is no network";
  if (absl::StrContains(message, "unreachable"))
    return "there is no way to it: is there a network?";
  if (absl::StrContains(message, "ssl") || absl::StrContains(message, "handshak") ||
      absl::StrContains(message, "certificate"))
    return "no secure connection came about; its certificate may have expired, or is another's";
  if (absl::StrContains(message, "going away") || absl::StrContains(message, "shut") ||
      absl::StrContains(message, "reset") || absl::StrContains(message, "closed"))
    return "it broke off: is it being stopped?";
  return "";
}

}  // namespace

absl::Status ExplainFailure(const Connection& connection, absl::Time deadline,
                            const absl::Status& status) {
  if (!absl::IsUnavailable(status) && !absl::IsDeadlineExceeded(status)) return status;
  if (absl::Status other = CompareCertificates(connection.server, connection.trust, deadline);
      !other.ok())
    return other;
  const absl::string_view reason = PlainReason(status);
  // One that answers says itself what it lacks.
  if (reason.empty() && !status.message().empty())
    return absl::UnavailableError(
        absl::StrCat("the server at ", connection.server, ": ", status.message()));
  return absl::UnavailableError(
      absl::StrCat("the server at ", connection.server,
                   " does not answer: ", reason.empty() ? "no connection came about" : reason));
}

absl::StatusOr<std::string> CallByName(const Connection& connection, absl::string_view method,
                                       const std::string& request, absl::Time deadline) {
  const auto channel = OpenChannel(connection.server, connection.trust);
  if (!channel.ok()) return channel.status();
  grpc::GenericStub stub(*channel);
  grpc::ClientContext context;
  context.AddMetadata("authorization", absl::StrCat("Bearer ", connection.token));
  context.set_deadline(absl::ToChronoTime(std::min(deadline, absl::Now() + kCallPatience)));
  grpc::Slice slice(request);
  const grpc::ByteBuffer sent(&slice, 1);
  grpc::ByteBuffer received;
  grpc::Status got;
  grpc::CompletionQueue queue;
  auto call = stub.PrepareUnaryCall(&context, absl::StrCat("/rundlet.v1.CellarService/", method),
                                    sent, &queue);
  call->StartCall();
  call->Finish(&received, &got, nullptr);
  void* tag = nullptr;
  bool done = false;
  queue.Next(&tag, &done);
  queue.Shutdown();
  if (got.ok()) return ToText(received);
  return ExplainFailure(
      connection, deadline,
      absl::Status(static_cast<absl::StatusCode>(got.error_code()), got.error_message()));
}

}  // namespace rundlet::client

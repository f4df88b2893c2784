#include "client/cli/server_call.h"

#include <utility>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/cli/may.h"

namespace rundlet::client {

absl::StatusOr<std::string> AskNetwork(const Session& session, const std::string& home,
                                       std::vector<std::string> words, const std::string& input) {
  if (!session.env.run_sync) return absl::UnimplementedError("there is no rundlet-sync here");
  const auto report =
      session.env.run_sync({.home = home, .words = std::move(words), .input = input});
  if (!report.ok()) return report.status();
  const size_t line = report->out.find('\n');
  int code = 0;
  if (line == std::string::npos || !absl::SimpleAtoi(report->out.substr(0, line), &code)) {
    return absl::InternalError(
        "rundlet-sync gave no answer: it may be of another version than rundlet; install both "
        "again");
  }
  std::string rest = report->out.substr(line + 1);
  if (code == 0) return rest;
  return absl::Status(static_cast<absl::StatusCode>(code), rest);
}

absl::Status CallServer(const Session& session, const Device& device, const StoreHome& home,
                        absl::string_view method, const google::protobuf::MessageLite& request,
                        google::protobuf::MessageLite& response) {
  if (absl::Status status = CheckMayCall(device, method); !status.ok()) return status;
  const auto answer =
      AskNetwork(session, home.dir(), {"--call", std::string(method)}, request.SerializeAsString());
  if (!answer.ok()) return answer.status();
  if (response.ParseFromString(*answer)) return absl::OkStatus();
  return absl::InternalError(absl::StrCat("the answer of the server to ", method,
                                          " cannot be read: it is of another version"));
}

}  // namespace rundlet::client

#include "server/service/finish.h"

#include "server/errors.h"
#include "server/log/log.h"

namespace rundlet::server {

void Finish(const char* method, const absl::Status& status, grpc::ServerUnaryReactor* reactor) {
  if (!status.ok()) {
    const bool is_ours = ReasonOf(status).empty();
    Log(is_ours ? Level::kWarning : Level::kDebug, "call_failed",
        {{"method", method}, {"error", status}});
  }
  reactor->Finish(ToGrpcStatus(ForCaller(status)));
}

}  // namespace rundlet::server

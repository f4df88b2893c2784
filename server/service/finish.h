#ifndef RUNDLET_SERVER_SERVICE_FINISH_H_
#define RUNDLET_SERVER_SERVICE_FINISH_H_

#include <grpcpp/support/server_callback.h>

#include "absl/status/status.h"

namespace rundlet::server {

// The end of every call. What the caller is not told stands in the log.
void Finish(const char* method, const absl::Status& status, grpc::ServerUnaryReactor* reactor);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_FINISH_H_

#ifndef RUNDLET_SERVER_PG_CONNECTION_STRING_H_
#define RUNDLET_SERVER_PG_CONNECTION_STRING_H_

#include <string>

#include "absl/strings/string_view.h"
#include "absl/time/time.h"

namespace rundlet::server {

// `connection_string` with limits that libpq lacks by default, for a database host that falls
// silent: connect_timeout (in whole seconds; libpq takes one second as two) and tcp_user_timeout,
// after which data that the host did not acknowledge breaks the connection. Where the string sets
// one of them itself, its value stays. Takes both forms of libpq, keywords and postgresql:// (libpq
// manual, "Connection Strings").
std::string WithTimeouts(absl::string_view connection_string, absl::Duration connect_timeout);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_CONNECTION_STRING_H_

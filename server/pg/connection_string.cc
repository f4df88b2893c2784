#include "server/pg/connection_string.h"

#include <algorithm>
#include <utility>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

// Until what was sent is taken for lost, where nothing comes back for it.
constexpr absl::Duration kTcpUserTimeout = absl::Seconds(30);
// A database whose machine went away after it had acknowledged what we sent owes us an answer, and
// nothing of ours is under way that could time out: it is asked whether it is there. The system's
// own wait before that is two hours.
constexpr absl::Duration kKeepaliveIdle = absl::Seconds(10);
constexpr absl::Duration kKeepaliveInterval = absl::Seconds(5);
constexpr int64_t kKeepaliveCount = 3;

}  // namespace

std::string WithTimeouts(absl::string_view connection_string, absl::Duration connect_timeout) {
  const std::pair<absl::string_view, int64_t> defaults[] = {
      {"connect_timeout", std::max<int64_t>(1, absl::ToInt64Seconds(connect_timeout))},
      {"tcp_user_timeout", absl::ToInt64Milliseconds(kTcpUserTimeout)},
      {"keepalives_idle", absl::ToInt64Seconds(kKeepaliveIdle)},
      {"keepalives_interval", absl::ToInt64Seconds(kKeepaliveInterval)},
      {"keepalives_count", kKeepaliveCount}};
  const bool is_address = absl::StartsWith(connection_string, "postgresql://") ||
                          absl::StartsWith(connection_string, "postgres://");
  std::string result(connection_string);
  for (const auto& [name, value] : defaults) {
    if (!is_address) {
      // Of a keyword that stands twice, libpq takes the last.
      result = absl::StrCat(name, "=", value, " ", result);
    } else if (!absl::StrContains(connection_string, absl::StrCat(name, "="))) {
      absl::StrAppend(&result, absl::StrContains(result, "?") ? "&" : "?", name, "=", value);
    }
  }
  return result;
}

}  // namespace rundlet::server

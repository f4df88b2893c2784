#include "server/pg/connection_string.h"

#include <algorithm>
#include <utility>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kTcpUserTimeout = absl::Seconds(30);

}  // namespace

std::string WithTimeouts(absl::string_view connection_string, absl::Duration connect_timeout) {
  const std::pair<absl::string_view, int64_t> defaults[] = {
      {"connect_timeout", std::max<int64_t>(1, absl::ToInt64Seconds(connect_timeout))},
      {"tcp_user_timeout", absl::ToInt64Milliseconds(kTcpUserTimeout)}};
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

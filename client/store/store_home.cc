#include "client/store/store_home.h"

#include "absl/status/status.h"
#include "absl/strings/str_cat.h"

namespace rundlet::client {

absl::StatusOr<StoreHome> StoreHome::Locate(const Environment& env) {
  if (const std::string home = env.variable("RUNDLET_HOME"); !home.empty()) return StoreHome(home);
  if (const std::string data = env.variable("XDG_DATA_HOME"); !data.empty()) {
    return StoreHome(absl::StrCat(data, "/rundlet"));
  }
  if (const std::string user = env.variable("HOME"); !user.empty()) {
    return StoreHome(absl::StrCat(user, "/.local/share/rundlet"));
  }
  return absl::FailedPreconditionError(
      "there is no place for the book: set RUNDLET_HOME to a directory of your own");
}

}  // namespace rundlet::client

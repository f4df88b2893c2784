#include "server/pg/socket_dir.h"

#include <sys/un.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <system_error>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "server/pg/cluster_directory.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;

constexpr absl::string_view kSocketName = "/.s.PGSQL.5432";
constexpr size_t kLongestSocketPath = sizeof(sockaddr_un::sun_path) - 1;
static_assert(kLongestSocketPath == 107);
constexpr absl::string_view kShortDirPrefix = "/tmp/rundlet-socket-";

std::string LinkPath(const std::string& data_dir) { return absl::StrCat(data_dir, "/socket"); }

void RemoveSocketFiles(const std::string& dir) {
  const std::string socket = absl::StrCat(dir, kSocketName);
  ::unlink(socket.c_str());
  ::unlink(absl::StrCat(socket, ".lock").c_str());
}

}  // namespace

void RemoveSocketDir(const std::string& data_dir) {
  const std::string path = LinkPath(data_dir);
  std::error_code error;
  if (fs::is_symlink(fs::symlink_status(path, error))) {
    const std::string target = fs::read_symlink(path, error).string();
    // Only what MakeSocketDir makes; a link of somebody else's leads nowhere that is ours to empty.
    if (!error && absl::StartsWith(target, kShortDirPrefix) &&
        target.find('/', kShortDirPrefix.size()) == std::string::npos) {
      RemoveSocketFiles(target);
      ::rmdir(target.c_str());
    }
    ::unlink(path.c_str());
    return;
  }
  RemoveSocketFiles(path);
  ::rmdir(path.c_str());
}

absl::StatusOr<std::string> MakeSocketDir(const std::string& data_dir,
                                          const std::optional<OsUser>& owner) {
  RemoveSocketDir(data_dir);
  const std::string path = LinkPath(data_dir);
  if (path.size() + kSocketName.size() <= kLongestSocketPath) {
    const absl::Status status = MakePrivateDir(path, owner);
    if (!status.ok()) return status;
    return path;
  }
  std::string short_dir = absl::StrCat(kShortDirPrefix, "XXXXXX");
  if (::mkdtemp(short_dir.data()) == nullptr) {
    return absl::ErrnoToStatus(errno, "cannot make a directory for the database socket in /tmp");
  }
  const absl::Status status = MakePrivateDir(short_dir, owner);
  if (!status.ok()) return status;
  if (::symlink(short_dir.c_str(), path.c_str()) != 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot make the link ", path));
  }
  return short_dir;
}

}  // namespace rundlet::server

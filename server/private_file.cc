#include "server/private_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>

#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

std::string DirectoryOf(const std::string& path) {
  const std::string parent = std::filesystem::path(path).parent_path().string();
  return parent.empty() ? "." : parent;
}

absl::Status FlushDirectory(const std::string& path) {
  const int dir = open(DirectoryOf(path).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  absl::Status status;
  if (dir < 0 || fsync(dir) != 0)
    status = absl::ErrnoToStatus(errno, absl::StrCat("cannot flush the directory of ", path));
  if (dir >= 0) close(dir);
  return status;
}

// Under a name of its own first, on disk before `place` gives it the right one; that says whether
// it did.
absl::Status Write(const std::string& path, absl::string_view text, mode_t mode,
                   const std::function<bool(const char* draft)>& place) {
  std::error_code ignored;
  std::filesystem::create_directories(DirectoryOf(path), ignored);
  std::string draft = absl::StrCat(path, ".XXXXXX");
  const auto failed = [&](absl::string_view what) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot ", what, " ", draft));
  };
  const int fd = mkstemp(draft.data());  // 0600
  if (fd < 0) return failed("make");
  absl::Status status;
  if (fchmod(fd, mode) != 0 ||
      write(fd, text.data(), text.size()) != static_cast<ssize_t>(text.size()) || fsync(fd) != 0)
    status = failed("write");
  close(fd);
  if (status.ok() && !place(draft.c_str())) status = failed("put in place");
  unlink(draft.c_str());
  return status.ok() ? FlushDirectory(path) : status;
}

}  // namespace

absl::Status WriteOnce(const std::string& path, absl::string_view text) {
  return Write(path, text, 0600, [&](const char* draft) {
    return link(draft, path.c_str()) == 0 || errno == EEXIST;
  });
}

absl::Status Replace(const std::string& path, absl::string_view text, bool shared) {
  return Write(path, text, shared ? 0644 : 0600,
               [&](const char* draft) { return std::rename(draft, path.c_str()) == 0; });
}

absl::StatusOr<std::string> ReadPrivate(const std::string& path, absl::string_view danger) {
  struct stat info {};
  if (stat(path.c_str(), &info) != 0)
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot look at ", path));
  if ((info.st_mode & 077) != 0) {
    return absl::FailedPreconditionError(absl::StrCat(
        path, " can be read by others, and whoever has it ", danger, ": chmod 600 ", path));
  }
  return ReadShared(path);
}

absl::StatusOr<std::string> ReadShared(const std::string& path) {
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored))
    return absl::NotFoundError(absl::StrCat("there is no file ", path));
  std::ifstream file(path, std::ios::binary);
  std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  if (!file) return absl::PermissionDeniedError(absl::StrCat("cannot read ", path));
  return text;
}

}  // namespace rundlet::server

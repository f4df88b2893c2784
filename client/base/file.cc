#include "client/base/file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

std::string DirOf(const std::string& path) {
  const size_t slash = path.find_last_of('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

absl::Status WriteAll(int fd, absl::string_view content, const std::string& path) {
  while (!content.empty()) {
    const ssize_t wrote = write(fd, content.data(), content.size());
    if (wrote < 0) {
      if (errno == EINTR) continue;
      return ErrnoStatus("write", path, errno);
    }
    content.remove_prefix(static_cast<size_t>(wrote));
  }
  return absl::OkStatus();
}

}  // namespace

absl::Status ErrnoStatus(absl::string_view action, absl::string_view path, int error) {
  return absl::UnknownError(absl::StrCat("cannot ", action, " ", path, ": ", std::strerror(error)));
}

void Fd::Reset() {
  if (fd_ >= 0) close(fd_);
  fd_ = -1;
}

bool FileExists(const std::string& path) { return access(path.c_str(), F_OK) == 0; }

absl::Status LookForFile(const std::string& path) {
  if (FileExists(path)) return absl::OkStatus();
  if (errno == ENOENT || errno == ENOTDIR)
    return absl::NotFoundError(absl::StrCat("there is no ", path));
  return ErrnoStatus("look at", path, errno);
}

absl::Status MakePrivateDirs(const std::string& path) {
  if (FileExists(path)) return absl::OkStatus();
  const std::string parent = DirOf(path);
  if (absl::Status status = MakePrivateDirs(parent); !status.ok()) return status;
  if (mkdir(path.c_str(), 0700) != 0 && errno != EEXIST)
    return ErrnoStatus("make the directory", path, errno);
  return SyncDir(parent);
}

absl::StatusOr<std::string> ReadFile(const std::string& path) {
  const Fd fd(open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!fd.ok()) {
    if (errno == ENOENT) return absl::NotFoundError(absl::StrCat("there is no ", path));
    return ErrnoStatus("open", path, errno);
  }
  std::string content;
  char buffer[65536];
  while (true) {
    const ssize_t got = read(fd.get(), buffer, sizeof(buffer));
    if (got == 0) return content;
    if (got < 0) {
      if (errno == EINTR) continue;
      return ErrnoStatus("read", path, errno);
    }
    content.append(buffer, static_cast<size_t>(got));
  }
}

absl::Status WritePrivateFile(const std::string& path, absl::string_view content) {
  const std::string draft = absl::StrCat(path, ".new");
  Fd fd(open(draft.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600));
  if (!fd.ok()) return ErrnoStatus("write", draft, errno);
  if (absl::Status status = WriteAll(fd.get(), content, draft); !status.ok()) return status;
  if (fsync(fd.get()) != 0) return ErrnoStatus("write", draft, errno);
  if (close(fd.Release()) != 0) return ErrnoStatus("write", draft, errno);
  if (rename(draft.c_str(), path.c_str()) != 0) return ErrnoStatus("put in place", path, errno);
  return SyncDir(DirOf(path));
}

absl::Status RemoveFile(const std::string& path) {
  if (unlink(path.c_str()) != 0 && errno != ENOENT) return ErrnoStatus("remove", path, errno);
  return absl::OkStatus();
}

absl::Status SyncDir(const std::string& path) {
  const Fd fd(open(path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (!fd.ok()) return ErrnoStatus("open", path, errno);
  // Some file systems cannot flush a directory and need not.
  if (fsync(fd.get()) != 0 && errno != EINVAL && errno != EROFS)
    return ErrnoStatus("write", path, errno);
  return absl::OkStatus();
}

}  // namespace rundlet::client

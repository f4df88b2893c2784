#include "server/pg/dir_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <utility>

#include "absl/status/status.h"
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"

namespace rundlet::server {
namespace {

// flock has no wait with a limit of its own.
constexpr absl::Duration kRetryInterval = absl::Milliseconds(10);

// The pid that the holder wrote, or "unknown" in the instant before it writes.
std::string HolderOf(int fd) {
  char text[32];
  const ssize_t size = ::pread(fd, text, sizeof(text), 0);
  const absl::string_view pid =
      absl::StripAsciiWhitespace(absl::string_view(text, size > 0 ? static_cast<size_t>(size) : 0));
  return pid.empty() ? "unknown" : std::string(pid);
}

// 0, or why the lock was not to be had.
int LockWithin(int fd, absl::Duration patience) {
  const absl::Time deadline = absl::Now() + patience;
  while (::flock(fd, LOCK_EX | LOCK_NB) != 0) {
    const int error = errno;
    if (error != EWOULDBLOCK || absl::Now() >= deadline) return error;
    absl::SleepFor(kRetryInterval);
  }
  return 0;
}

}  // namespace

absl::StatusOr<DirLock> DirLock::Take(absl::string_view dir, absl::Duration patience) {
  const std::string path(dir);
  if (::mkdir(path.c_str(), 0700) != 0 && errno != EEXIST) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot make the data directory ", dir));
  }
  const std::string file = absl::StrCat(dir, "/lock");
  const int fd = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (fd < 0) return absl::ErrnoToStatus(errno, absl::StrCat("cannot open ", file));
  DirLock lock(fd);
  const int error = LockWithin(fd, patience);
  if (error != 0) {
    if (error != EWOULDBLOCK) return absl::ErrnoToStatus(error, absl::StrCat("cannot lock ", file));
    return absl::FailedPreconditionError(
        absl::StrCat("the data directory ", dir, " is in use by process ", HolderOf(fd),
                     ": stop that process, or give another data directory"));
  }
  const std::string pid = absl::StrCat(::getpid(), "\n");
  if (::ftruncate(fd, 0) != 0 ||
      ::pwrite(fd, pid.data(), pid.size(), 0) != static_cast<ssize_t>(pid.size())) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot write ", file));
  }
  return lock;
}

DirLock::~DirLock() {
  if (fd_ >= 0) ::close(fd_);
}

DirLock::DirLock(DirLock&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}

DirLock& DirLock::operator=(DirLock&& other) noexcept {
  if (this != &other) {
    if (fd_ >= 0) ::close(fd_);
    fd_ = std::exchange(other.fd_, -1);
  }
  return *this;
}

}  // namespace rundlet::server

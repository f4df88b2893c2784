#include "client/store/file_lock.h"

#include <fcntl.h>
#include <sys/file.h>

#include <cerrno>

#include "absl/status/status.h"
#include "absl/time/clock.h"

namespace rundlet::client {

absl::StatusOr<FileLock> FileLock::Acquire(const std::string& path, absl::Duration patience,
                                           absl::string_view busy) {
  Fd fd(open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600));
  if (!fd.ok()) return ErrnoStatus("open", path, errno);
  const absl::Time deadline = absl::Now() + patience;
  while (flock(fd.get(), LOCK_EX | LOCK_NB) != 0) {
    if (errno == EINTR) continue;
    if (errno != EWOULDBLOCK) return ErrnoStatus("lock", path, errno);
    if (absl::Now() >= deadline) return absl::UnavailableError(busy);
    absl::SleepFor(absl::Milliseconds(5));  // flock knows no time limit of its own
  }
  return FileLock(std::move(fd));
}

}  // namespace rundlet::client

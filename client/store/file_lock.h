#ifndef RUNDLET_CLIENT_STORE_FILE_LOCK_H_
#define RUNDLET_CLIENT_STORE_FILE_LOCK_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "client/base/file.h"

namespace rundlet::client {

// An exclusive lock between processes (flock), held until the object is gone; the system lets go of
// it when its process ends, however it ends.
class FileLock {
 public:
  // Waits up to `patience` while another process holds it. Unavailable after that: `busy` is the
  // text.
  static absl::StatusOr<FileLock> Acquire(const std::string& path, absl::Duration patience,
                                          absl::string_view busy);

 private:
  explicit FileLock(Fd fd) : fd_(std::move(fd)) {}
  Fd fd_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_FILE_LOCK_H_

#ifndef RUNDLET_CLIENT_BASE_FILE_H_
#define RUNDLET_CLIENT_BASE_FILE_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::client {

// Small files of the store. Errors name the file and what the system says of it.

// An open file descriptor that closes itself.
class Fd {
 public:
  Fd() = default;
  explicit Fd(int fd) : fd_(fd) {}
  ~Fd() { Reset(); }
  Fd(Fd&& other) noexcept : fd_(other.Release()) {}
  Fd& operator=(Fd&& other) noexcept {
    if (this != &other) {
      Reset();
      fd_ = other.Release();
    }
    return *this;
  }
  int get() const { return fd_; }
  bool ok() const { return fd_ >= 0; }
  int Release() {
    const int fd = fd_;
    fd_ = -1;
    return fd;
  }
  void Reset();

 private:
  int fd_ = -1;
};

// Makes a directory for its owner alone (0700), and those above it that are missing.
absl::Status MakePrivateDirs(const std::string& path);

bool FileExists(const std::string& path);

// The same, where it matters whether one may look: OK if the file is there, NotFound if it is not,
// another error where that cannot be seen, as in a directory of somebody else.
absl::Status LookForFile(const std::string& path);

// The whole file; NotFound if there is none.
absl::StatusOr<std::string> ReadFile(const std::string& path);

// Replaces the file, for its owner alone (0600): written beside it, flushed to disk, put in its
// place. After a failure, or a kill at any point, the old file is there whole or the new one is.
absl::Status WritePrivateFile(const std::string& path, absl::string_view content);

// Removes the file if it is there.
absl::Status RemoveFile(const std::string& path);

// Flushes a directory's own entries to disk, so that a rename in it survives a power cut.
absl::Status SyncDir(const std::string& path);

// "cannot open /a/b: Permission denied".
absl::Status ErrnoStatus(absl::string_view action, absl::string_view path, int error);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_BASE_FILE_H_

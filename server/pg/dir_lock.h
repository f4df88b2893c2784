#ifndef RUNDLET_SERVER_PG_DIR_LOCK_H_
#define RUNDLET_SERVER_PG_DIR_LOCK_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"

namespace rundlet::server {

// The sole right to a data directory: an flock on its file "lock", held while this object lives.
// The kernel drops it when the process ends in whatever way, so it is never stale. The file stays
// behind on purpose: removing it would let two processes lock two files of the same name.
//
// Movable; not safe to share between threads.
class DirLock {
 public:
  // Makes the directory if there is none (0700, its parent must exist) and takes the lock, waiting
  // a moment for a holder that is just ending: a killed one's lock lasts until a child that it had
  // forked, and that had not yet started its program, has noticed.
  // FailedPrecondition, naming the other process, if it stays held; PermissionDenied or Internal if
  // the directory cannot be used.
  static absl::StatusOr<DirLock> Take(absl::string_view dir,
                                      absl::Duration patience = absl::Seconds(1));

  ~DirLock();
  DirLock(DirLock&& other) noexcept;
  DirLock& operator=(DirLock&& other) noexcept;

 private:
  explicit DirLock(int fd) : fd_(fd) {}

  int fd_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_DIR_LOCK_H_

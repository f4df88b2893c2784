#ifndef RUNDLET_CLIENT_TESTING_FAULTY_DISK_H_
#define RUNDLET_CLIENT_TESTING_FAULTY_DISK_H_

namespace rundlet::client {

// Stands between SQLite and the disk of this process (a VFS of its own, the default while it is
// installed), counts what changes the disk - writes, flushes, truncations, deletions - and lets one
// of them fail. One at a time; not thread-safe.
class FaultyDisk {
 public:
  enum class Fault {
    kNone,
    kIoError,     // EIO, nothing written
    kFull,        // ENOSPC, nothing written
    kShortWrite,  // half of it written, then EIO
    kKill,        // the process ends at once, as by SIGKILL, before the operation
  };

  FaultyDisk();
  ~FaultyDisk();
  FaultyDisk(const FaultyDisk&) = delete;
  FaultyDisk& operator=(const FaultyDisk&) = delete;

  // The `at`-th operation from now on, counted from 1, and, unless it is a kill, every one after it
  // fails.
  void FailAt(int at, Fault fault);
  // How many operations there were since the last FailAt.
  int operations() const;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_TESTING_FAULTY_DISK_H_

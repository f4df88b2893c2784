#ifndef RUNDLET_SERVER_PG_POSTMASTER_H_
#define RUNDLET_SERVER_PG_POSTMASTER_H_

#include <sys/types.h>

#include <string>
#include <thread>

#include "absl/base/thread_annotations.h"
#include "absl/status/status.h"
#include "absl/time/time.h"
#include "server/pg/child_process.h"
#include "server/sync/mutex.h"

namespace rundlet::server {

// One postmaster, run as our child by a keeper thread that lives exactly as long as it may.
//
// The keeper starts it, waits for its end, and - once KeepAlive was called - starts it again if it
// ends without being asked to, after clearing away what its backends left; at once if it had run
// for a while, otherwise after a pause that doubles up to half a minute.
//
// If our process ends in any way, the kernel sends the postmaster SIGINT, which means to it: end
// the sessions, write a checkpoint, exit ("fast"). SIGTERM would wait for every session to end by
// itself
// ("smart"), and SIGQUIT would leave the next start a recovery to do ("immediate"). The signal is
// bound to the thread that forked, which is why the keeper does that.
//
// Thread-safe.
class Postmaster {
 public:
  struct Options {
    ChildOptions child;
    std::string cluster_dir;
    absl::Duration stop_patience;  // for each step of Stop before the next, harder one
  };

  // Starts nothing yet.
  explicit Postmaster(Options options);
  ~Postmaster();  // stops it
  Postmaster(const Postmaster&) = delete;
  Postmaster& operator=(const Postmaster&) = delete;

  // Starts the keeper and the first postmaster; Ok once the program runs, which is before it
  // accepts connections. Call it once.
  absl::Status Start() ABSL_LOCKS_EXCLUDED(mutex_);

  // From now on an unexpected end is mended and not final.
  void KeepAlive() ABSL_LOCKS_EXCLUDED(mutex_);

  // Waits until the postmaster has ended, at most until `deadline`. True if it has.
  bool AwaitEnd(absl::Time deadline) ABSL_LOCKS_EXCLUDED(mutex_);

  // Fast shutdown, then immediate, then SIGKILL. Ok if it ended cleanly or was not running;
  // Internal if it was made to end, so that the next start has to recover. Calls after the first do
  // nothing.
  absl::Status Stop() ABSL_LOCKS_EXCLUDED(mutex_);

  // 0 while none is running.
  pid_t pid() const ABSL_LOCKS_EXCLUDED(mutex_);

 private:
  enum class State { kNew, kRunning, kPausing, kEnded };

  void Keep() ABSL_LOCKS_EXCLUDED(mutex_);
  bool StartOnce() ABSL_LOCKS_EXCLUDED(mutex_);
  void AwaitChild(pid_t pid) ABSL_LOCKS_EXCLUDED(mutex_);
  bool PauseBeforeRestart(absl::Duration pause) ABSL_LOCKS_EXCLUDED(mutex_);
  bool SignalAndAwaitEnd(int signal) ABSL_LOCKS_EXCLUDED(mutex_);

  const Options options_;
  mutable Mutex mutex_;
  State state_ ABSL_GUARDED_BY(mutex_) = State::kNew;
  bool stopping_ ABSL_GUARDED_BY(mutex_) = false;
  bool keep_alive_ ABSL_GUARDED_BY(mutex_) = false;
  // Set and cleared together with the state; a signal is sent under the mutex only, so that it
  // never reaches a process that got the number after our child was reaped.
  pid_t pid_ ABSL_GUARDED_BY(mutex_) = 0;
  absl::Status start_status_ ABSL_GUARDED_BY(mutex_);
  std::thread keeper_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_POSTMASTER_H_

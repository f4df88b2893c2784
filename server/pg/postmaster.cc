#include "server/pg/postmaster.h"

#include <sys/wait.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "server/log/log.h"
#include "server/pg/cluster_processes.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kShortestPause = absl::Milliseconds(100);
constexpr absl::Duration kLongestPause = absl::Seconds(30);
// A run of this length counts as sound, and the next pause starts from nothing.
constexpr absl::Duration kSoundRun = absl::Seconds(10);

std::string Describe(int wait_status) {
  if (WIFSIGNALED(wait_status)) return absl::StrCat("signal ", WTERMSIG(wait_status));
  return absl::StrCat("exit code ", WEXITSTATUS(wait_status));
}

ChildOptions WithDeathSignal(ChildOptions child) {
  child.parent_death_signal = SIGINT;
  return child;
}

}  // namespace

Postmaster::Postmaster(Options options)
    : options_([&options] {
        options.child = WithDeathSignal(std::move(options.child));
        return std::move(options);
      }()) {}

Postmaster::~Postmaster() {
  const absl::Status status = Stop();
  if (!status.ok()) Log(Level::kWarning, "database_stop", {{"error", status}});
}

absl::Status Postmaster::Start() {
  keeper_ = std::thread([this] { Keep(); });
  MutexLock lock(&mutex_);
  const auto left_new = [this]()
                            ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return state_ != State::kNew; };
  mutex_.Await(left_new);
  return start_status_;
}

void Postmaster::KeepAlive() {
  MutexLock lock(&mutex_);
  keep_alive_ = true;
}

bool Postmaster::AwaitEnd(absl::Time deadline) {
  MutexLock lock(&mutex_);
  const auto ended = [this]()
                         ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return state_ == State::kEnded; };
  return mutex_.AwaitUntil(ended, deadline);
}

pid_t Postmaster::pid() const {
  MutexLock lock(&mutex_);
  return pid_;
}

absl::Status Postmaster::Stop() {
  if (!keeper_.joinable()) return absl::OkStatus();
  {
    MutexLock lock(&mutex_);
    stopping_ = true;
  }
  absl::Status status;
  if (!SignalAndAwaitEnd(SIGINT)) {
    status = absl::InternalError("the database did not stop in time and was made to");
    if (!SignalAndAwaitEnd(SIGQUIT)) SignalAndAwaitEnd(SIGKILL);
  }
  keeper_.join();
  if (!status.ok()) status.Update(ClearCluster(options_.cluster_dir, options_.stop_patience));
  return status;
}

bool Postmaster::SignalAndAwaitEnd(int signal) {
  {
    MutexLock lock(&mutex_);
    if (pid_ != 0) ::kill(pid_, signal);
  }
  return AwaitEnd(absl::Now() + options_.stop_patience);
}

void Postmaster::Keep() {
  absl::Duration pause = absl::ZeroDuration();
  while (true) {
    const absl::Time started_at = absl::Now();
    if (StartOnce()) AwaitChild(pid());
    if (absl::Now() - started_at >= kSoundRun) pause = absl::ZeroDuration();
    if (!PauseBeforeRestart(pause)) return;
    pause = std::clamp(2 * pause, kShortestPause, kLongestPause);
    const absl::Status cleared = ClearCluster(options_.cluster_dir, options_.stop_patience);
    if (!cleared.ok()) Log(Level::kError, "database_restart", {{"error", cleared}});
  }
}

bool Postmaster::StartOnce() {
  // Under the mutex, so that Stop sees either no postmaster and a keeper that will start none, or
  // one that it can signal.
  MutexLock lock(&mutex_);
  if (stopping_) return false;
  const absl::StatusOr<pid_t> pid = StartChild(options_.child);
  if (!pid.ok()) {
    Log(Level::kError, "database_start", {{"error", pid.status()}});
    if (state_ == State::kNew) start_status_ = pid.status();
    return false;
  }
  state_ = State::kRunning;
  pid_ = *pid;
  return true;
}

void Postmaster::AwaitChild(pid_t pid) {
  siginfo_t info;
  // WNOWAIT leaves it a zombie, whose number nobody else can get, until pid_ is cleared.
  while (::waitid(P_PID, static_cast<id_t>(pid), &info, WEXITED | WNOWAIT) != 0 && errno == EINTR) {
  }
  MutexLock lock(&mutex_);
  int status = 0;
  ::waitpid(pid, &status, 0);
  pid_ = 0;
  if (!stopping_) {
    Log(Level::kError, "database_ended", {{"pid", pid}, {"how", Describe(status)}});
  }
}

bool Postmaster::PauseBeforeRestart(absl::Duration pause) {
  MutexLock lock(&mutex_);
  state_ = State::kPausing;
  const auto stopping = [this]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return stopping_; };
  if (keep_alive_) mutex_.AwaitUntil(stopping, absl::Now() + pause);
  if (keep_alive_ && !stopping_) return true;
  state_ = State::kEnded;
  return false;
}

}  // namespace rundlet::server

#include "server/pg/child_process.h"

#include <fcntl.h>
#include <grp.h>
#include <pwd.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <fstream>
#include <iterator>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

// What can fail between fork and exec; sent up the pipe with errno.
enum class Step : int { kSession, kDeathSignal, kGroups, kUser, kWorkingDir, kOutput, kExec };

struct Failure {
  Step step;
  int error;
};

// All that the child needs, made before the fork: after it, in a process that had several threads,
// only async-signal-safe calls are allowed (POSIX, fork).
struct Prepared {
  std::vector<char*> argv;
  std::vector<char*> envp;
  const char* working_dir;
  int output_fd;
  int null_fd;
  int failure_fd;
  pid_t parent;
  const OsUser* run_as;
  int death_signal;
};

[[noreturn]] void Fail(const Prepared& child, Step step) {
  const Failure failure{step, errno};
  [[maybe_unused]] const ssize_t ignored = ::write(child.failure_fd, &failure, sizeof(failure));
  ::_exit(127);
}

// The raw system calls act on this thread alone, which is the only one here; the library's wrappers
// would try to signal threads that the fork left behind.
void DropRights(const Prepared& child) {
  if (child.run_as == nullptr) return;
  const gid_t gid = child.run_as->gid;
  const uid_t uid = child.run_as->uid;
  if (::syscall(SYS_setgroups, 0, nullptr) != 0 || ::syscall(SYS_setresgid, gid, gid, gid) != 0) {
    Fail(child, Step::kGroups);
  }
  if (::syscall(SYS_setresuid, uid, uid, uid) != 0) Fail(child, Step::kUser);
}

void ResetSignals() {
  for (int signal = 1; signal < NSIG; ++signal) ::signal(signal, SIG_DFL);
  sigset_t none;
  ::sigemptyset(&none);
  ::sigprocmask(SIG_SETMASK, &none, nullptr);
}

[[noreturn]] void BecomeChild(const Prepared& child) {
  ResetSignals();
  ::umask(077);
  if (::setsid() < 0) Fail(child, Step::kSession);
  DropRights(child);
  if (child.death_signal != 0) {
    // After dropping rights, which clears it. The parent may have ended before it was set.
    if (::prctl(PR_SET_PDEATHSIG, child.death_signal) != 0) Fail(child, Step::kDeathSignal);
    if (::getppid() != child.parent) ::_exit(127);
  }
  if (::chdir(child.working_dir) != 0) Fail(child, Step::kWorkingDir);
  if (::dup2(child.null_fd, STDIN_FILENO) < 0 || ::dup2(child.output_fd, STDOUT_FILENO) < 0 ||
      ::dup2(child.output_fd, STDERR_FILENO) < 0) {
    Fail(child, Step::kOutput);
  }
  // CLOSE_RANGE_CLOEXEC is 4 (Linux 5.11). On an older kernel only files opened without O_CLOEXEC,
  // of which we have none, would stay open.
  ::syscall(SYS_close_range, 3u, ~0u, 4u);
  ::execve(child.argv[0], child.argv.data(), child.envp.data());
  Fail(child, Step::kExec);
}

absl::Status StatusOf(const Failure& failure, const ChildOptions& options) {
  const std::string user =
      options.run_as.has_value() ? absl::StrCat(" as user ", options.run_as->name) : "";
  const std::string start = absl::StrCat("cannot start ", options.argv[0], user, ": ");
  if (failure.step == Step::kGroups || failure.step == Step::kUser) {
    return absl::ErrnoToStatus(failure.error, absl::StrCat(start, "cannot become that user"));
  }
  if (failure.step == Step::kWorkingDir) {
    return absl::ErrnoToStatus(
        failure.error, absl::StrCat(start, "it cannot enter ", options.working_dir,
                                    "; every directory above must let that user pass (chmod o+x)"));
  }
  return absl::ErrnoToStatus(failure.error, absl::StrCat(start, "the system refused it"));
}

// An open file, closed at the end of the scope.
class Fd {
 public:
  explicit Fd(int fd) : fd_(fd) {}
  ~Fd() { Close(); }
  Fd(const Fd&) = delete;
  Fd& operator=(const Fd&) = delete;
  int get() const { return fd_; }
  void Close() {
    if (fd_ >= 0) ::close(fd_);
    fd_ = -1;
  }

 private:
  int fd_;
};

std::vector<char*> Pointers(std::vector<std::string>& texts) {
  std::vector<char*> pointers;
  for (std::string& text : texts) pointers.push_back(text.data());
  pointers.push_back(nullptr);
  return pointers;
}

// Waits for the end of our own child; EINTR aside it cannot fail for an unreaped child.
int WaitStatusOf(pid_t pid) {
  int status = 0;
  while (::waitpid(pid, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

absl::StatusOr<OsUser> FromPasswd(const passwd* entry, absl::string_view sought) {
  if (entry == nullptr) {
    return absl::NotFoundError(absl::StrCat("there is no user ", sought, " on this system"));
  }
  return OsUser{entry->pw_name, entry->pw_uid, entry->pw_gid};
}

}  // namespace

absl::StatusOr<OsUser> FindOsUser(absl::string_view name) {
  std::array<char, 16384> buffer;
  passwd entry;
  passwd* found = nullptr;
  ::getpwnam_r(std::string(name).c_str(), &entry, buffer.data(), buffer.size(), &found);
  return FromPasswd(found, name);
}

absl::StatusOr<OsUser> FindOsUser(uid_t uid) {
  std::array<char, 16384> buffer;
  passwd entry;
  passwd* found = nullptr;
  ::getpwuid_r(uid, &entry, buffer.data(), buffer.size(), &found);
  return FromPasswd(found, absl::StrCat("with the number ", uid));
}

absl::StatusOr<pid_t> StartChild(const ChildOptions& options) {
  std::vector<std::string> argv = options.argv;
  std::vector<std::string> envp = {"PATH=/usr/bin:/bin", "LC_ALL=C", "TZ=UTC"};
  const Fd output(::open(options.output_path.c_str(),
                         O_WRONLY | O_CREAT | O_TRUNC | O_APPEND | O_CLOEXEC | O_NOFOLLOW, 0600));
  if (output.get() < 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot open ", options.output_path));
  }
  const Fd null(::open("/dev/null", O_RDONLY | O_CLOEXEC));
  if (null.get() < 0) return absl::ErrnoToStatus(errno, "cannot open /dev/null");
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) return absl::ErrnoToStatus(errno, "cannot make a pipe");
  const Fd read_end(ends[0]);
  Fd write_end(ends[1]);

  const Prepared child{.argv = Pointers(argv),
                       .envp = Pointers(envp),
                       .working_dir = options.working_dir.c_str(),
                       .output_fd = output.get(),
                       .null_fd = null.get(),
                       .failure_fd = write_end.get(),
                       .parent = ::getpid(),
                       .run_as = options.run_as.has_value() ? &*options.run_as : nullptr,
                       .death_signal = options.parent_death_signal};
  const pid_t pid = ::fork();
  if (pid < 0) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot start ", options.argv[0]));
  }
  if (pid == 0) BecomeChild(child);

  // The pipe ends without a word when exec closes it.
  write_end.Close();
  Failure failure;
  ssize_t size;
  do {
    size = ::read(read_end.get(), &failure, sizeof(failure));
  } while (size < 0 && errno == EINTR);
  if (size == static_cast<ssize_t>(sizeof(failure))) {
    WaitStatusOf(pid);
    return StatusOf(failure, options);
  }
  return pid;
}

absl::Status RunChild(const ChildOptions& options) {
  const absl::StatusOr<pid_t> pid = StartChild(options);
  if (!pid.ok()) return pid.status();
  const int status = WaitStatusOf(*pid);
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return absl::OkStatus();
  const std::string how = WIFSIGNALED(status) ? absl::StrCat("signal ", WTERMSIG(status))
                                              : absl::StrCat("exit code ", WEXITSTATUS(status));
  return absl::InternalError(absl::StrCat(options.argv[0], " failed with ", how, " (output in ",
                                          options.output_path,
                                          "): ", LastLines(options.output_path)));
}

std::string LastLines(const std::string& path) {
  constexpr size_t kTailSize = 800;
  std::ifstream file(path, std::ios::binary);
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  const std::string tail = text.substr(text.size() - std::min(text.size(), kTailSize));
  return std::string(absl::StripAsciiWhitespace(tail));
}

}  // namespace rundlet::server

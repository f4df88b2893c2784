#include "client/base/spawn_sync.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <climits>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/base/exit_code.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr size_t kMaxInputBytes = 32 * 1024;

absl::StatusOr<std::string> FindProgram() {
  char buffer[PATH_MAX];
  const ssize_t length = readlink("/proc/self/exe", buffer, sizeof(buffer));
  if (length <= 0) return ErrnoStatus("read", "/proc/self/exe", errno);
  const std::string self(buffer, static_cast<size_t>(length));
  const std::string dir = self.substr(0, self.find_last_of('/'));
  for (const char* place : {"/rundlet-sync", "/../libexec/rundlet/rundlet-sync"}) {
    const std::string path = absl::StrCat(dir, place);
    if (access(path.c_str(), X_OK) == 0) return path;
  }
  return absl::NotFoundError(absl::StrCat("rundlet-sync is missing: it belongs beside rundlet, in ",
                                          dir, "; install it again"));
}

std::vector<std::string> Arguments(const std::string& program, const SyncCall& call) {
  std::vector<std::string> args = {program, "--home", call.home};
  if (call.quiet) args.push_back("--quiet");
  if (call.json) args.push_back("--json");
  if (call.repair) args.push_back("--repair");
  if (call.budget != absl::InfiniteDuration()) {
    args.insert(args.end(), {"--budget", absl::FormatDuration(call.budget)});
  }
  args.insert(args.end(), call.words.begin(), call.words.end());
  return args;
}

struct Pipe {
  Fd read_end, write_end;
};

absl::StatusOr<Pipe> MakePipe() {
  int ends[2];
  if (pipe2(ends, O_CLOEXEC) != 0) return ErrnoStatus("make", "a pipe", errno);
  return Pipe{Fd(ends[0]), Fd(ends[1])};
}

absl::StatusOr<pid_t> Start(const SyncCall& call, const std::string& program, int in, int out) {
  std::vector<std::string> args = Arguments(program, call);
  std::vector<char*> argv;
  for (std::string& arg : args) argv.push_back(arg.data());
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, in, STDIN_FILENO);
  posix_spawn_file_actions_adddup2(&actions, out, STDOUT_FILENO);
  if (call.quiet)
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t pid = 0;
  const int error = posix_spawn(&pid, program.c_str(), &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  if (error != 0) return ErrnoStatus("run", program, error);
  return pid;
}

// Reads until the other end closes. False when the time is over before that.
bool ReadUntil(int fd, absl::Time deadline, std::string& out) {
  char buffer[4096];
  while (true) {
    int wait_ms = -1;
    if (deadline != absl::InfiniteFuture()) {
      wait_ms =
          static_cast<int>(std::max<int64_t>(0, absl::ToInt64Milliseconds(deadline - absl::Now())));
    }
    pollfd poll_fd{.fd = fd, .events = POLLIN, .revents = 0};
    const int ready = poll(&poll_fd, 1, wait_ms);
    if (ready == 0) return false;
    if (ready < 0) {
      if (errno == EINTR) continue;
      return true;
    }
    const ssize_t got = read(fd, buffer, sizeof(buffer));
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return true;
    out.append(buffer, static_cast<size_t>(got));
  }
}

}  // namespace

absl::StatusOr<SyncReport> SpawnSync(const SyncCall& call) {
  const auto program = FindProgram();
  if (!program.ok()) return program.status();
  auto in = MakePipe();
  if (!in.ok()) return in.status();
  auto out = MakePipe();
  if (!out.ok()) return out.status();
  const auto pid = Start(call, *program, in->read_end.get(), out->write_end.get());
  if (!pid.ok()) return pid.status();
  in->read_end.Reset();
  out->write_end.Reset();
  // So much a pipe takes without a reader.
  if (call.input.size() > kMaxInputBytes)
    return absl::InvalidArgumentError("this is more than the server takes in one call");
  if (!call.input.empty() && write(in->write_end.get(), call.input.data(), call.input.size()) < 0) {
    return ErrnoStatus("write to", *program, errno);
  }
  in->write_end.Reset();

  SyncReport report;
  report.finished = ReadUntil(out->read_end.get(), absl::Now() + call.budget, report.out);
  if (!report.finished) return report;
  int status = 0;
  while (waitpid(*pid, &status, 0) < 0) {
    if (errno != EINTR) return ErrnoStatus("wait for", *program, errno);
  }
  report.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : kExitError;
  if (WIFSIGNALED(status)) {
    return absl::InternalError(absl::StrCat("rundlet-sync was ended by signal ", WTERMSIG(status),
                                            "; what was entered is saved here, run it again"));
  }
  return report;
}

}  // namespace rundlet::client

#include "tests/integration/process.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>

extern char** environ;

namespace rundlet::testing {
namespace {

// Words or settings as the system wants them: pointers that end with a null one.
std::vector<char*> Pointers(std::vector<std::string>& texts) {
  std::vector<char*> pointers;
  for (std::string& text : texts) pointers.push_back(text.data());
  pointers.push_back(nullptr);
  return pointers;
}

std::vector<std::string> Settings(const Environment& extra) {
  std::map<std::string, std::string> all;
  for (char** each = environ; *each != nullptr; ++each) {
    const std::string setting = *each;
    const size_t equals = setting.find('=');
    all[setting.substr(0, equals)] = setting.substr(equals + 1);
  }
  for (const auto& [name, value] : extra) all[name] = value;
  std::vector<std::string> settings;
  for (const auto& [name, value] : all) settings.push_back(name + "=" + value);
  return settings;
}

pid_t Spawn(std::vector<std::string> words, const Environment& environment, int out, int err) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, out, STDOUT_FILENO);
  posix_spawn_file_actions_adddup2(&actions, err, STDERR_FILENO);
  std::vector<std::string> settings = Settings(environment);
  pid_t pid = -1;
  const int failed = posix_spawn(&pid, words[0].c_str(), &actions, nullptr, Pointers(words).data(),
                                 Pointers(settings).data());
  posix_spawn_file_actions_destroy(&actions);
  return failed == 0 ? pid : -1;
}

int ExitCode(int status) {
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

// Reads both pipes until they are closed, so that neither can fill up and block the writer.
void Drain(int out, int err, Finished& finished) {
  pollfd polled[] = {{out, POLLIN, 0}, {err, POLLIN, 0}};
  std::string* const into[] = {&finished.out, &finished.err};
  int open = 2;
  while (open > 0 && poll(polled, 2, -1) > 0) {
    for (int i = 0; i < 2; ++i) {
      if (polled[i].fd < 0 || polled[i].revents == 0) continue;
      char buffer[1 << 14];
      const ssize_t got = read(polled[i].fd, buffer, sizeof(buffer));
      if (got > 0) {
        into[i]->append(buffer, static_cast<size_t>(got));
      } else {
        polled[i].fd = -1;
        --open;
      }
    }
  }
}

}  // namespace

Finished RunProgram(const std::vector<std::string>& words, const Environment& environment) {
  Finished finished;
  int out[2];
  int err[2];
  if (pipe2(out, O_CLOEXEC) != 0 || pipe2(err, O_CLOEXEC) != 0) return finished;
  const pid_t pid = Spawn(words, environment, out[1], err[1]);
  close(out[1]);
  close(err[1]);
  if (pid < 0) finished.err = "cannot start " + words[0];
  Drain(out[0], err[0], finished);
  close(out[0]);
  close(err[0]);
  int status = 0;
  if (pid > 0 && waitpid(pid, &status, 0) == pid) finished.exit_code = ExitCode(status);
  return finished;
}

Background::Background(const std::vector<std::string>& words, const Environment& environment,
                       const std::string& log_path) {
  const int log = open(log_path.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  pid_ = Spawn(words, environment, log, log);
  close(log);
}

Background::~Background() {
  if (pid_ > 0) Stop(SIGKILL);
}

bool Background::Alive() {
  if (pid_ <= 0) return false;
  siginfo_t ended = {};
  // Looks without reaping, so that Stop still finds the exit code.
  waitid(P_PID, static_cast<id_t>(pid_), &ended, WEXITED | WNOHANG | WNOWAIT);
  return ended.si_pid == 0;
}

int Background::Stop(int signal) {
  if (pid_ <= 0) return -1;
  kill(pid_, signal);
  int status = 0;
  waitpid(pid_, &status, 0);
  pid_ = -1;
  return ExitCode(status);
}

}  // namespace rundlet::testing

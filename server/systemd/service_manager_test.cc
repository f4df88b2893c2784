// Goal: the service manager hears that the server serves when it does, that it lives while it does,
// and that it stops. Method: a socket of ours stands in for systemd's; the real rundletd is started
// as systemd would start it.
#include "server/systemd/service_manager.h"

#include <poll.h>
#include <signal.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstring>
#include <deque>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/health_client.h"
#include "server/pg/testing/temp_dir.h"
#include "server/private_file.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

// What systemd listens on.
class NotifySocket {
 public:
  explicit NotifySocket(const std::string& path) : fd_(socket(AF_UNIX, SOCK_DGRAM, 0)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::memcpy(address.sun_path, path.data(), path.size());
    if (path[0] == '@') address.sun_path[0] = '\0';
    const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + path.size());
    if (bind(fd_, reinterpret_cast<const sockaddr*>(&address), length) != 0) std::abort();
  }
  ~NotifySocket() { close(fd_); }

  // The next word; "" if none comes in time.
  std::string Next(absl::Duration patience = absl::Seconds(60)) {
    pollfd polled{fd_, POLLIN, 0};
    if (poll(&polled, 1, static_cast<int>(absl::ToInt64Milliseconds(patience))) != 1) return "";
    char buffer[256];
    const ssize_t size = recv(fd_, buffer, sizeof(buffer), 0);
    return size < 0 ? "" : std::string(buffer, static_cast<size_t>(size));
  }
  // Whether the word comes before any but `others`.
  bool Hears(const std::string& word, const std::string& others) {
    for (std::string next = Next(); !next.empty(); next = Next()) {
      if (next == word) return true;
      if (next != others && !next.starts_with("STATUS=")) {
        ADD_FAILURE() << next;
        return false;
      }
    }
    return false;
  }

 private:
  const int fd_;
};

TEST(ServiceManagerTest, SpeaksToAPathAndToAnAbstractName) {
  TempDir dir;
  for (const std::string& path :
       {dir.path() + "/notify", absl::StrCat("@rundlet-test-", getpid())}) {
    NotifySocket socket(path);
    const ServiceManager manager(path, absl::Seconds(10));
    manager.Ready();
    manager.Status("serves");
    manager.Alive();
    manager.Stopping();
    for (const char* word : {"READY=1", "STATUS=serves", "WATCHDOG=1", "STOPPING=1"})
      EXPECT_EQ(socket.Next(), word);
    EXPECT_EQ(manager.alive_every(), absl::Milliseconds(2500));
  }
}

TEST(ServiceManagerTest, WhereNobodyAsksNothingIsSaid) {
  unsetenv("NOTIFY_SOCKET");
  unsetenv("WATCHDOG_USEC");
  const ServiceManager manager = ServiceManager::FromEnvironment();
  manager.Ready();
  EXPECT_EQ(manager.alive_every(), absl::InfiniteDuration());
  setenv("WATCHDOG_USEC", "1000000", 1);
  setenv("WATCHDOG_PID", "1", 1);
  EXPECT_EQ(ServiceManager::FromEnvironment().alive_every(), absl::InfiniteDuration())
      << "meant for another process";
  unsetenv("WATCHDOG_USEC");
  unsetenv("WATCHDOG_PID");
}

// rundletd as systemd starts it; killed when this goes.
class Rundletd {
 public:
  Rundletd(const std::string& dir, const std::string& socket) : pid_(fork()) {
    if (pid_ != 0) return;
    setenv("NOTIFY_SOCKET", socket.c_str(), 1);
    setenv("WATCHDOG_USEC", "400000", 1);
    const std::string data = dir + "/data", port = dir + "/port";
    if (freopen((dir + "/log").c_str(), "w", stderr) == nullptr) _exit(126);
    execl(RUNDLETD, RUNDLETD, "serve", "--listen", "127.0.0.1:0", "--plain-text", "--data",
          data.c_str(), "--port-file", port.c_str(), nullptr);
    _exit(127);
  }
  ~Rundletd() {
    if (pid_ > 0) Stop(SIGKILL);
  }
  void Signal(int signal) const { kill(pid_, signal); }
  int Stop(int signal) {
    Signal(signal);
    int status = 0;
    waitpid(pid_, &status, 0);
    pid_ = -1;
    return status;
  }

 private:
  pid_t pid_;
};

TEST(ServiceManagerTest, HearsOfTheServersLife) {
  TempDir dir;
  const std::string path = dir.path() + "/notify";
  NotifySocket socket(path);
  Rundletd server(dir.path(), path);
  ASSERT_EQ(socket.Next(absl::Minutes(2)), "READY=1");
  std::string port = *ReadShared(dir.path() + "/port");
  port.pop_back();
  EXPECT_EQ(CheckHealth("127.0.0.1:" + port, "", absl::Seconds(10)), absl::OkStatus())
      << "it serves when it says so";
  for (int i = 0; i < 3; ++i) EXPECT_TRUE(socket.Hears("WATCHDOG=1", ""));
  server.Signal(SIGSTOP);
  while (!socket.Next(absl::Milliseconds(600)).empty()) {
  }
  EXPECT_EQ(socket.Next(absl::Seconds(1)), "") << "who is stopped in its tracks gives no sign";
  server.Signal(SIGCONT);
  EXPECT_TRUE(socket.Hears("WATCHDOG=1", ""));
  server.Signal(SIGTERM);
  EXPECT_TRUE(socket.Hears("STOPPING=1", "WATCHDOG=1"));
  EXPECT_EQ(server.Stop(SIGTERM), 0);
}

}  // namespace
}  // namespace rundlet::server

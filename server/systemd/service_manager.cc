#include "server/systemd/service_manager.h"

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>
#include <cstdlib>
#include <cstring>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "server/log/log.h"

namespace rundlet::server {
namespace {

std::string Variable(const char* name) {
  const char* const value = std::getenv(name);
  return value == nullptr ? "" : value;
}

// Infinite unless we are the process that is meant.
absl::Duration WatchdogOfEnvironment() {
  int64_t us = 0;
  int64_t pid = 0;
  if (!absl::SimpleAtoi(Variable("WATCHDOG_USEC"), &us) || us <= 0) return absl::InfiniteDuration();
  const std::string meant = Variable("WATCHDOG_PID");
  if (!meant.empty() && (!absl::SimpleAtoi(meant, &pid) || pid != getpid()))
    return absl::InfiniteDuration();
  return absl::Microseconds(us);
}

}  // namespace

ServiceManager ServiceManager::FromEnvironment() {
  return ServiceManager(Variable("NOTIFY_SOCKET"), WatchdogOfEnvironment());
}

void ServiceManager::Status(absl::string_view text) const { Say(absl::StrCat("STATUS=", text)); }

void ServiceManager::Say(const std::string& text) const {
  if (socket_.empty()) return;
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  if (socket_.size() >= sizeof(address.sun_path)) {
    Log(Level::kWarning, "notify_failed", {{"error", "the path of NOTIFY_SOCKET is too long"}});
    return;
  }
  std::memcpy(address.sun_path, socket_.data(), socket_.size());
  if (socket_[0] == '@') address.sun_path[0] = '\0';
  const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + socket_.size());
  const int fd = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  const bool said = fd >= 0 && sendto(fd, text.data(), text.size(), MSG_NOSIGNAL,
                                      reinterpret_cast<const sockaddr*>(&address),
                                      length) == static_cast<ssize_t>(text.size());
  if (!said) Log(Level::kWarning, "notify_failed", {{"error", std::strerror(errno)}});
  if (fd >= 0) close(fd);
}

}  // namespace rundlet::server

#ifndef RUNDLET_SERVER_SYSTEMD_SERVICE_MANAGER_H_
#define RUNDLET_SERVER_SYSTEMD_SERVICE_MANAGER_H_

#include <string>

#include "absl/strings/string_view.h"
#include "absl/time/time.h"

namespace rundlet::server {

// Who started us, if it is systemd or speaks its protocol (sd_notify(3), sd_watchdog_enabled(3)):
// it waits for word that we serve, and may want a sign of life again and again. Where nobody asks,
// every word is left unsaid. A word that cannot be sent is lost, as the protocol has it; it goes to
// the log. Thread-safe.
class ServiceManager {
 public:
  // From NOTIFY_SOCKET, WATCHDOG_USEC and WATCHDOG_PID.
  static ServiceManager FromEnvironment();

  // `socket` is the path of a datagram socket, or begins with '@' (an abstract one) or is empty.
  ServiceManager(std::string socket, absl::Duration watchdog)
      : socket_(std::move(socket)), watchdog_(watchdog) {}

  void Ready() const { Say("READY=1"); }
  void Stopping() const { Say("STOPPING=1"); }
  void Alive() const { Say("WATCHDOG=1"); }
  // A line for people: what systemctl status shows.
  void Status(absl::string_view text) const;

  // How often to say Alive: four times as often as it is asked for, so that one answer that does
  // not come is not the end. Infinite: never.
  absl::Duration alive_every() const { return watchdog_ / 4; }

 private:
  void Say(const std::string& text) const;

  std::string socket_;
  absl::Duration watchdog_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SYSTEMD_SERVICE_MANAGER_H_

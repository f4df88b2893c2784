#include "tests/faults/gate.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"

namespace rundlet::testing {
namespace {

constexpr int kLookMs = 20;  // how soon an idle line sees that the gate was shut

sockaddr_in LoopbackAt(int port) {
  sockaddr_in address = {};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  address.sin_port = htons(static_cast<uint16_t>(port));
  return address;
}

int PortOf(const std::string& address) {
  int port = 0;
  if (!absl::SimpleAtoi(address.substr(address.rfind(':') + 1), &port)) return 0;
  return port;
}

// The other side sees a reset, as of a line that broke, not an orderly end.
void Reset(int fd) {
  const linger at_once = {.l_onoff = 1, .l_linger = 0};
  setsockopt(fd, SOL_SOCKET, SO_LINGER, &at_once, sizeof(at_once));
  close(fd);
}

}  // namespace

Gate::Gate(const std::string& server) : server_(server) {
  listener_ = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in address = LoopbackAt(0);
  socklen_t size = sizeof(address);
  if (bind(listener_, reinterpret_cast<sockaddr*>(&address), size) != 0 ||
      listen(listener_, 64) != 0 ||
      getsockname(listener_, reinterpret_cast<sockaddr*>(&address), &size) != 0) {
    std::perror("the gate cannot listen");
    std::abort();
  }
  address_ = absl::StrCat("127.0.0.1:", ntohs(address.sin_port));
  acceptor_ = std::thread([this] { Accept(); });
}

Gate::~Gate() {
  {
    absl::MutexLock lock(&mutex_);
    ending_ = shut_ = true;
  }
  acceptor_.join();
  for (Line& line : lines_) line.relay.join();
  close(listener_);
}

void Gate::Open() {
  absl::MutexLock lock(&mutex_);
  shut_ = false;
  passed_ = {0, 0};
  cut_after_ = {INT64_MAX, INT64_MAX};
}

void Gate::CutAfter(Way way, int64_t bytes) {
  Open();
  absl::MutexLock lock(&mutex_);
  cut_after_[way] = bytes;
}

void Gate::Shut() {
  absl::MutexLock lock(&mutex_);
  shut_ = true;
}

int64_t Gate::passed(Way way) const {
  absl::MutexLock lock(&mutex_);
  return passed_[way];
}

bool Gate::is_shut() const {
  absl::MutexLock lock(&mutex_);
  return shut_;
}

void Gate::Accept() {
  while (true) {
    {
      absl::MutexLock lock(&mutex_);
      if (ending_) return;
    }
    pollfd waiting = {listener_, POLLIN, 0};
    if (poll(&waiting, 1, kLookMs) <= 0) continue;
    const int client = accept4(listener_, nullptr, nullptr, SOCK_CLOEXEC);
    if (client < 0) continue;
    const int server = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    const sockaddr_in address = LoopbackAt(PortOf(server_));
    if (is_shut() ||
        connect(server, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) != 0) {
      Reset(client);
      close(server);
      continue;
    }
    Line& line = lines_.emplace_back();
    line.ends = {client, server};
    line.relay = std::thread([this, &line] { Relay(line); });
  }
}

void Gate::Relay(Line& line) {
  char buffer[1 << 16];
  while (!is_shut()) {
    pollfd polled[] = {{line.ends[0], POLLIN, 0}, {line.ends[1], POLLIN, 0}};
    if (poll(polled, 2, kLookMs) <= 0) continue;
    for (const Way way : {kToServer, kToClient}) {
      if (polled[way].revents == 0) continue;
      const ssize_t got = recv(line.ends[way], buffer, sizeof(buffer), 0);
      if (got <= 0 || !HandOn(way, line.ends[1 - way], buffer, got)) return Break(line);
    }
  }
  Break(line);
}

bool Gate::HandOn(Way way, int to, const char* bytes, int64_t size) {
  {
    absl::MutexLock lock(&mutex_);
    const int64_t left = cut_after_[way] - passed_[way];
    if (size >= left) {
      size = std::max<int64_t>(0, left);
      shut_ = true;
    }
    passed_[way] += size;
  }
  for (int64_t done = 0; done < size;) {
    const ssize_t sent = send(to, bytes + done, static_cast<size_t>(size - done), MSG_NOSIGNAL);
    if (sent <= 0) return false;
    done += sent;
  }
  return !is_shut();
}

void Gate::Break(Line& line) {
  // What was handed on shall arrive before the reset does: it is as if the line broke behind it.
  for (const int end : line.ends) shutdown(end, SHUT_WR);
  for (const int end : line.ends) Reset(end);
  line.ends = {-1, -1};
}

}  // namespace rundlet::testing

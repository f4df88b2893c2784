#include "client/base/environment.h"

#include <poll.h>
#include <sys/ioctl.h>
#include <sys/random.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <iostream>

#include "absl/status/status.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/base/safe_output.h"
#include "client/base/spawn_sync.h"

namespace rundlet::client {
namespace {

std::string Variable(const std::string& name) {
  const char* value = std::getenv(name.c_str());
  return value == nullptr ? "" : value;
}

bool ReaderGone() {
  pollfd out{.fd = STDOUT_FILENO, .events = POLLOUT, .revents = 0};
  return poll(&out, 1, 0) > 0 && (out.revents & POLLERR) != 0;
}

// What COLUMNS says, as shells do; else what the terminal says, else the usual.
size_t ColumnsOfTerminal() {
  constexpr size_t kUsual = 80, kWidest = 10'000;
  size_t columns = 0;
  if (isatty(STDOUT_FILENO) == 0) return 0;
  if (absl::SimpleAtoi(Variable("COLUMNS"), &columns) && columns > 0 && columns <= kWidest)
    return columns;
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  return kUsual;
}

void FillRandom(absl::Span<uint8_t> bytes) {
  size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t got = getrandom(bytes.data() + done, bytes.size() - done, 0);
    if (got > 0) {
      done += static_cast<size_t>(got);
    } else if (errno != EINTR) {
      std::cerr << "rundlet: this system gives no random bytes\n";
      std::abort();
    }
  }
}

}  // namespace

Uuid Environment::NewId() const {
  std::array<uint8_t, 10> random;
  fill_random(absl::MakeSpan(random));
  return Uuid::Version7(absl::ToUnixMillis(clock()), random);
}

absl::StatusOr<Environment> SystemEnvironment() {
  Environment env;
  env.clock = [] { return absl::Now(); };
  env.zone = absl::LocalTimeZone();
  env.fill_random = FillRandom;
  env.variable = Variable;
  // They live as long as the program: whoever prints last must still find them.
  static auto* const out = new std::ostream(new SafeBuffer(std::cout));
  static auto* const err = new std::ostream(new SafeBuffer(std::cerr));
  err->setf(std::ios::unitbuf);
  env.out = out;
  env.err = err;
  env.columns = ColumnsOfTerminal();
  if (isatty(STDERR_FILENO) == 1 && Variable("TERM") != "dumb") env.watched = &std::cerr;
  env.reader_gone = ReaderGone;
  env.run_sync = SpawnSync;
  if (const std::string text = Variable("RUNDLET_NOW"); !text.empty()) {
    absl::Time stopped;
    std::string error;
    if (!absl::ParseTime(absl::RFC3339_full, text, &stopped, &error)) {
      return absl::InvalidArgumentError(
          absl::StrCat("RUNDLET_NOW is \"", text, "\": write it like 2026-03-02T14:00:00+01:00"));
    }
    const auto when = ParseWhen(text, WhenAt(stopped, absl::UTCTimeZone()));
    if (!when.ok()) return when.status();
    env.clock = [stopped] { return stopped; };
    env.zone = absl::FixedTimeZone(when->utc_offset_min * 60);
  }
  return env;
}

}  // namespace rundlet::client

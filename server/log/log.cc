#include "server/log/log.h"

#include <unistd.h>

#include <cerrno>
#include <utility>

#include "absl/base/thread_annotations.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "server/log/logfmt.h"
#include "server/sync/mutex.h"

namespace rundlet::server {
namespace {

struct LogState {
  Mutex mutex;
  LogSettings settings ABSL_GUARDED_BY(mutex);
};

// Never destroyed: threads may still log while the process ends.
LogState& State() {
  static auto* const state = new LogState;
  return *state;
}

absl::string_view LevelName(Level level) {
  switch (level) {
    case Level::kDebug:
      return "debug";
    case Level::kInfo:
      return "info";
    case Level::kWarning:
      return "warning";
    case Level::kError:
      return "error";
  }
  return "error";
}

bool NamesSecret(absl::string_view key) {
  const std::string lower = absl::AsciiStrToLower(key);
  for (const absl::string_view word :
       {"token", "secret", "password", "authorization", "private_key", "connection_string"}) {
    if (absl::StrContains(lower, word)) return true;
  }
  return false;
}

// One write call per line keeps lines of several processes on one stderr apart as well.
void WriteToStderr(absl::string_view line) {
  while (!line.empty()) {
    const ssize_t written = ::write(STDERR_FILENO, line.data(), line.size());
    if (written < 0) {
      if (errno == EINTR) continue;
      return;  // Nobody reads stderr: there is no better place to say so.
    }
    line.remove_prefix(static_cast<size_t>(written));
  }
}

}  // namespace

std::string FormatLogLine(absl::Time time, Level level, absl::string_view event,
                          std::initializer_list<Field> fields) {
  std::string line =
      absl::StrCat("time=", absl::FormatTime("%Y-%m-%d%ET%H:%M:%E6SZ", time, absl::UTCTimeZone()),
                   " level=", LevelName(level), " event=");
  AppendLogfmtValue(event, line);
  for (const Field& field : fields) {
    line += ' ';
    AppendLogfmtKey(field.key, line);
    line += '=';
    AppendLogfmtValue(NamesSecret(field.key) ? absl::string_view("withheld") : field.value.text(),
                      line);
  }
  line += '\n';
  return line;
}

void Log(Level level, absl::string_view event, std::initializer_list<Field> fields) {
  LogState& state = State();
  MutexLock lock(&state.mutex);
  if (level < state.settings.min_level) return;
  const std::string line = FormatLogLine(state.settings.now(), level, event, fields);
  if (state.settings.write) {
    state.settings.write(line);
  } else {
    WriteToStderr(line);
  }
}

void ConfigureLog(LogSettings settings) {
  LogState& state = State();
  MutexLock lock(&state.mutex);
  state.settings = std::move(settings);
}

}  // namespace rundlet::server

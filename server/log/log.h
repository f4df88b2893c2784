#ifndef RUNDLET_SERVER_LOG_LOG_H_
#define RUNDLET_SERVER_LOG_LOG_H_

#include <concepts>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <string>

#include "absl/status/status.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/string_view.h"
#include "absl/time/clock.h"
#include "absl/time/time.h"

namespace rundlet::server {

// The server's log: one line per event on stderr, in logfmt (key=value), to be read by people and
// by programs:
//
//   time=2025-11-25T09:30:00.123456Z level=info event=push cellar=0190163d-... entries=12
//
//   Log(Level::kInfo, "push", {{"cellar", id.ToString()}, {"entries", 12}});
//
// Safe to call from any thread; lines are never mixed. Logging never fails and never blocks on
// anything but stderr. Never log a token, a key or a connection string: a field whose key says that
// it holds a secret is written as "withheld", as a last guard and not as permission.

enum class Level { kDebug, kInfo, kWarning, kError };

// The text form of one field's value, made on the spot from the types that events carry.
class FieldValue {
 public:
  FieldValue(absl::string_view text) : text_(text) {}                       // NOLINT
  FieldValue(const char* text) : text_(text) {}                             // NOLINT
  FieldValue(const std::string& text) : text_(text) {}                      // NOLINT
  FieldValue(bool value) : text_(value ? "true" : "false") {}               // NOLINT
  FieldValue(double value) : text_(absl::StrCat(value)) {}                  // NOLINT
  FieldValue(absl::Duration value) : text_(absl::FormatDuration(value)) {}  // NOLINT
  FieldValue(const absl::Status& value) : text_(value.ToString()) {}        // NOLINT
  template <std::integral T>
  FieldValue(T value) : text_(absl::StrCat(value)) {}  // NOLINT

  absl::string_view text() const { return text_; }

 private:
  std::string text_;
};

struct Field {
  absl::string_view key;
  FieldValue value;
};

void Log(Level level, absl::string_view event, std::initializer_list<Field> fields = {});

// The line that Log writes, with its line break.
std::string FormatLogLine(absl::Time time, Level level, absl::string_view event,
                          std::initializer_list<Field> fields);

// What a process may set; events below `min_level` are dropped.
struct LogSettings {
  Level min_level = Level::kInfo;
  std::function<absl::Time()> now = absl::Now;
  // Takes one whole line; called by one thread at a time. Unset: stderr.
  std::function<void(absl::string_view line)> write;
};
// For the start of main, and for tests. Replaces the settings for all threads.
void ConfigureLog(LogSettings settings);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LOG_LOG_H_

#include "client/cli/auto_sync.h"

#include "absl/strings/numbers.h"
#include "absl/strings/str_split.h"
#include "absl/time/clock.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kBudget = absl::Milliseconds(300);
constexpr absl::Duration kPauseAfterFailure = absl::Seconds(60);

// By the real clock: this is about the network, not about the book.
bool FailedJustNow(const StoreHome& home) {
  const auto text = ReadFile(home.sync_failed());
  int64_t failed_us = 0;
  if (!text.ok() || !absl::SimpleAtoi(*text, &failed_us)) return false;
  const absl::Duration since = absl::Now() - absl::FromUnixMicros(failed_us);
  return since >= absl::ZeroDuration() && since < kPauseAfterFailure;
}

}  // namespace

void AutoSync(Session& session, const StoreHome& home) {
  // Without a token nobody lets it in; a cellar of one's own has none.
  if (!session.env.run_sync || !FileExists(home.token()) ||
      session.env.variable("RUNDLET_AUTOSYNC") == "off" || FailedJustNow(home))
    return;
  const auto report = session.env.run_sync({.home = home.dir(), .quiet = true, .budget = kBudget});
  // What was entered is safe; whatever went wrong is said by an explicit sync.
  if (report.ok() && report->finished && report->exit_code == kExitSyncedNotAll) {
    session.err() << "something waits for a person: rundlet held\n";
  }
  if (const auto alarms = ReadFile(home.alarms()); alarms.ok()) {
    for (const absl::string_view alarm : absl::StrSplit(*alarms, '\n', absl::SkipEmpty()))
      session.err() << "alarm: " << alarm << " (said until you have read it with: rundlet sync)\n";
  }
}

}  // namespace rundlet::client

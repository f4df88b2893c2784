// rundlet status: whose book this is, and what waits to be synced.
#include "absl/strings/str_cat.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

struct Numbers {
  StoreCounts counts;
  int64_t open_returns = 0;
  int64_t held = 0;
  int64_t last_sync_us = 0;
  int64_t damaged = 0;
  bool refetching = false;  // the whole journal is still to be compared
};

absl::StatusOr<Numbers> CountAll(Cellar& cellar) {
  Numbers numbers;
  const auto counts = cellar.store.Count();
  if (!counts.ok()) return counts.status();
  numbers.counts = *counts;
  const auto returns = OpenReturns(cellar);
  if (!returns.ok()) return returns.status();
  numbers.open_returns = static_cast<int64_t>(returns->size());
  numbers.held = static_cast<int64_t>(cellar.fold->state().held().size());
  const auto last_sync_us = cellar.store.Get(MetaKey::kLastSyncUs);
  if (!last_sync_us.ok()) return last_sync_us.status();
  numbers.last_sync_us = *last_sync_us;
  const auto refetching = cellar.store.Get(MetaKey::kRefetching);
  if (!refetching.ok()) return refetching.status();
  numbers.refetching = *refetching != 0;
  // Every entry, also those that the snapshot spares the other commands.
  const absl::Status read = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    numbers.damaged += stored.whole ? 0 : 1;
    return absl::OkStatus();
  });
  if (!read.ok()) return read;
  return numbers;
}

class StatusCommand : public ViewCommand {
 protected:
  bool HasPast() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto numbers = CountAll(cellar);
    if (!numbers.ok()) return numbers.status();
    if (json()) {
      PrintJson(cellar, *numbers, session);
    } else {
      PrintText(cellar, *numbers, session);
    }
    return absl::OkStatus();
  }

 private:
  static void PrintJson(const Cellar& cellar, const Numbers& numbers, Session& session) {
    const Device& device = cellar.store.device();
    session.out() << JsonObject()
                         .Text("cellar_id", device.cellar_id.ToString())
                         .Text("cellar_name", device.cellar_name)
                         .Text("member_id", device.member_id.ToString())
                         .Text("member_name", device.member_name)
                         .Text("role", device.role)
                         .Text("device_id", device.device_id.ToString())
                         .Text("device_name", device.device_name)
                         .Text("server", device.server)
                         .Text("home", cellar.store.home().dir())
                         .Number("recorded", numbers.counts.recorded)
                         .Number("outbox", numbers.counts.outbox)
                         .Number("returned", numbers.counts.returned)
                         .Number("open_returns", numbers.open_returns)
                         .Number("unplaced", numbers.counts.unplaced)
                         .Number("held", numbers.held)
                         .Number("damaged", numbers.damaged)
                         .Number("last_sync_us", numbers.last_sync_us)
                         .Finish()
                  << "\n";
  }

  static void PrintText(const Cellar& cellar, const Numbers& numbers, Session& session) {
    const Device& device = cellar.store.device();
    const StoreCounts& counts = numbers.counts;
    std::ostream& out = session.out();
    out << "cellar       " << device.cellar_name << "\n"
        << "member       " << device.member_name << " (" << device.role << ")\n"
        << "device       " << device.device_name << "\n"
        << "server       "
        << (device.server.empty() ? "none: everything is in this book alone" : device.server)
        << "\n"
        << "book         " << cellar.store.home().dir() << "\n"
        << "last synced  "
        << (numbers.last_sync_us == 0
                ? "never"
                : FormatWhen(WhenAt(absl::FromUnixMicros(numbers.last_sync_us), session.env.zone)))
        << "\n"
        << "recorded     " << counts.recorded << "\n";
    if (counts.unplaced > 0) {
      out << "             " << counts.unplaced
          << (numbers.refetching ? " of them not compared with the server yet: rundlet sync\n"
                                 : " of them lost by the server, until their devices sync again\n");
    }
    if (numbers.damaged > 0)
      out << "damaged      " << numbers.damaged << ": rundlet sync --repair\n";
    if (numbers.held > 0) out << "held         " << numbers.held << ": rundlet held\n";
    if (numbers.open_returns > 0)
      out << "returned     " << numbers.open_returns << ": rundlet held\n";
    if (device.server.empty()) {  // nothing waits for anybody
      out << "entries      " << counts.outbox << "\n";
      return;
    }
    out << (counts.outbox == 0 ? std::string("everything is synced\n")
                               : absl::StrCat("to be synced ", counts.outbox, ": rundlet sync\n"));
  }
};

}  // namespace

std::unique_ptr<Command> MakeStatus() { return std::make_unique<StatusCommand>(); }

}  // namespace rundlet::client

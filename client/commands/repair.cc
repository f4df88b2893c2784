// rundlet repair: a new book from what is whole of a damaged one.
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"
#include "client/store/file_lock.h"
#include "client/store/salvage.h"

namespace rundlet::client {
namespace {

constexpr char kBusy[] = "another rundlet is at work on this book: try again when it is done";

// Whether there is nothing to do: the book opens, and every entry in it is whole.
bool IsSound(const StoreHome& home) {
  auto store = Store::Open(home);
  if (!store.ok()) return false;
  Query check(store->db(), "PRAGMA quick_check(1)");
  if (!check.Next() || check.Bytes(0) != "ok") return false;
  bool whole = true;
  const absl::Status read = store->ForEach(0, [&](const StoredEntry& entry) {
    whole = whole && entry.whole;
    return absl::OkStatus();
  });
  return read.ok() && whole;
}

class Repair : public Command {
 public:
  void Declare(CLI::App& app) override { app.add_flag("--json", json_, "print JSON"); }

  absl::Status Run(Session& session) override {
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    const auto writer = FileLock::Acquire(home->writer_lock(), absl::Seconds(10), kBusy);
    if (!writer.ok()) return writer.status();
    const auto syncer = FileLock::Acquire(home->sync_lock(), absl::Seconds(10), kBusy);
    if (!syncer.ok()) return syncer.status();
    // Only damage is repaired. What a newer Rundlet wrote is none, nor is a book that another
    // program has locked.
    const absl::Status opened = Store::Open(*home).status();
    if (!opened.ok() && !absl::IsDataLoss(opened)) return opened;
    if (IsSound(*home)) {
      session.out() << (json_ ? "{\"repaired\":false}\n"
                              : "the book is sound: nothing to repair\n");
      return absl::OkStatus();
    }
    const auto salvaged = SalvageStore(*home, absl::ToUnixMicros(session.env.clock()));
    if (!salvaged.ok()) return salvaged.status();
    Print(*salvaged, session);
    return absl::OkStatus();
  }

 private:
  void Print(const Salvaged& salvaged, Session& session) const {
    if (json_) {
      session.out() << JsonObject()
                           .Bool("repaired", true)
                           .Number("outbox", salvaged.outbox)
                           .Number("recorded", salvaged.recorded)
                           .Number("returned", salvaged.returned)
                           .Bool("device_known", salvaged.device_known)
                           .Text("kept_as", salvaged.kept_as)
                           .Finish()
                    << "\n";
      return;
    }
    session.out() << "saved " << salvaged.outbox << " entries that were not synced yet, "
                  << salvaged.recorded << " recorded ones and " << salvaged.returned
                  << " that were returned\n"
                  << "the damaged book is kept as " << salvaged.kept_as << "\n"
                  << "what is missing is on the server: "
                  << (salvaged.device_known
                          ? "rundlet sync"
                          : "ask a cellar master for an invitation, then: rundlet join")
                  << "\n";
  }

  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeRepair() { return std::make_unique<Repair>(); }

}  // namespace rundlet::client

// rundlet report inventory: what was there at the end of a day, as known now or as known then.
#include "absl/strings/str_cat.h"
#include "client/commands/closing_words.h"
#include "client/commands/commands.h"
#include "client/commands/report_command.h"
#include "core/reports/inventory.h"

namespace rundlet::client {
namespace {

// The book of what was written down before a moment. What cannot be read was told of when the
// cellar was opened.
absl::StatusOr<std::unique_ptr<Fold>> FoldOfWritten(Store& store, int64_t before_us) {
  auto fold = std::make_unique<Fold>();
  const absl::Status status = store.ForEach(0, [&](const StoredEntry& stored) {
    if (!stored.whole || stored.state == EntryState::kReturned) return absl::OkStatus();
    const auto entry = ReadEntry(stored.bytes);
    if (entry.ok() && entry->written_at_us() < before_us) fold->InsertNew(*entry);
    return absl::OkStatus();
  });
  if (!status.ok()) return status;
  fold->Settle();
  return fold;
}

class InventoryReport : public ReportCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--on", on_,
                   "at the end of this day; if not said, after all that is written down");
    app.add_option("--as-known-on", known_on_,
                   "only by what was written down until the end of this day");
  }

  absl::Status Tell(Cellar& cellar, Session& session, reports::Sink& sink) override {
    reports::Period until;
    if (!on_.empty()) {
      const auto day = ReadWholeDay("--on", on_, session);
      if (!day.ok()) return day.status();
      until = *day;
    }
    if (absl::Status status = TellClosings(cellar, {.before_us = until.before_us}, sink);
        !status.ok())
      return status;
    if (known_on_.empty()) {
      reports::TellInventory(*cellar.fold, until.before_us, sink);
      return absl::OkStatus();
    }
    const auto known = ReadWholeDay("--as-known-on", known_on_, session);
    if (!known.ok()) return known.status();
    const auto fold = FoldOfWritten(cellar.store, known->before_us);
    if (!fold.ok()) return fold.status();
    reports::TellInventory(**fold, until.before_us, sink);
    sink.Note(
        "known then is what was written down until then, by the clocks of the devices on which it "
        "was; what another device had not sent yet is among it");
    return absl::OkStatus();
  }

 private:
  std::string on_, known_on_;
};

}  // namespace

std::unique_ptr<Command> MakeReportInventory() { return std::make_unique<InventoryReport>(); }

}  // namespace rundlet::client

// rundlet held: what waits for a person: entries without effect, and entries that the server
// returned.
#include "absl/strings/str_cat.h"
#include "client/cellar/closed_book.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/cli/period_gate.h"
#include "client/commands/commands.h"
#include "core/quantity/when.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

std::string FirstLine(const std::string& id, const v1::Entry& entry, const std::string& author,
                      const std::string& summary) {
  return absl::StrCat(
      id, "  ",
      FormatWhen({.at_us = entry.effective_at_us(), .utc_offset_min = entry.utc_offset_min()}),
      "  ", author, "  ", summary, "\n");
}

// Whether the book of this device knows of no closed period any more that the entry would change.
bool IsOpenByNow(Cellar& cellar, const absl::StatusOr<v1::Entry>& entry) {
  return entry.ok() && CheckPeriods(cellar, {*entry}).ok();
}

// What a person can do about an entry that the server returned.
std::string WaysOut(const StoredEntry& stored, const std::string& id, bool open_by_now) {
  const std::string drop = absl::StrCat("to drop it: rundlet void ", id);
  if (stored.reason == "NOT_SEEN")
    return absl::StrCat("Sync, then close the period again: rundlet period close DATE; ", drop);
  const std::string otherwise =
      absl::StrCat("o write it otherwise: rundlet amend ", id, " -- ..., ", drop);
  if (stored.reason != "PERIOD_CLOSED") return absl::StrCat("T", otherwise);
  if (open_by_now)
    return absl::StrCat("It was reopened since: to hand it in again as it is: rundlet amend ", id,
                        "; t", otherwise);
  return absl::StrCat(
      "To date it after that: rundlet amend ", id,
      " --at TIME; once it is reopened, to hand it in again as it is: rundlet amend ", id, "; t",
      otherwise);
}

// What a person can do about a held entry of a closed period: nothing there is amended or voided.
std::string HeldInClosed(const Fold& fold, const Held& held, const v1::Entry& entry) {
  const When when{.at_us = entry.effective_at_us(), .utc_offset_min = entry.utc_offset_min()};
  return absl::StrCat(
      HeldEvidence(fold, held),
      ". It lies in a period that is closed, so it stays as it is. To change it, a master first "
      "opens the period: rundlet period reopen ",
      FormatWhenDay(when), " --reason WHY");
}

class HeldCommand : public ViewCommand {
 protected:
  absl::Status Show(Cellar& cellar, Session& session) override {
    if (absl::Status status = CollectHeld(cellar); !status.ok()) return status;
    if (absl::Status status = CollectReturned(cellar); !status.ok()) return status;
    if (json()) {
      session.out() << JsonObject()
                           .Raw("held", JsonArray(held_))
                           .Raw("returned", JsonArray(returned_))
                           .Finish()
                    << "\n";
    } else if (text_.empty()) {
      session.out() << "nothing is held, nothing was returned\n";
    } else {
      session.out() << text_;
    }
    return absl::OkStatus();
  }

 private:
  absl::Status CollectHeld(Cellar& cellar) {
    const Fold& fold = *cellar.fold;
    if (fold.state().held().empty()) return absl::OkStatus();
    const auto periods = PeriodsOf(cellar);
    if (!periods.ok()) return periods.status();
    for (size_t i = 0; i < fold.state().held().size(); ++i) {
      const Held& held = fold.state().held()[i];
      const auto entry = EntryOfRow(cellar, held.row);
      if (!entry.ok()) return entry.status();
      v1::HeldLine line = MakeHeldLine(fold, held, *entry);
      if (periods->IsClosed(entry->effective_at_us()))
        line.set_message(HeldInClosed(fold, held, *entry));
      held_.push_back(ProtoJson(line));
      absl::StrAppend(&text_,
                      FirstLine(ShortId(fold.sequence().row(held.row).id), *entry,
                                line.entry().author(), line.entry().summary()),
                      "  held: ", line.message(), "\n");
    }
    return absl::OkStatus();
  }

  absl::Status CollectReturned(Cellar& cellar) {
    const auto returned = OpenReturns(cellar);
    if (!returned.ok()) return returned.status();
    for (const StoredEntry& stored : *returned) {
      const auto entry = ReadEntry(stored.bytes);
      const std::string summary =
          entry.ok() ? Summarise(*cellar.fold, *entry) : "an entry that cannot be read";
      returned_.push_back(JsonObject()
                              .Text("entry_id", stored.id.ToString())
                              .Text("summary", summary)
                              .Text("reason", stored.reason)
                              .Text("message", stored.message)
                              .Finish());
      const std::string id = ShortId(stored.id);
      absl::StrAppend(&text_,
                      entry.ok() ? FirstLine(id, *entry, cellar.store.device().member_name, summary)
                                 : absl::StrCat(id, "  ", summary, "\n"));
      absl::StrAppend(&text_, "  returned by the server: ", WhyReturned(stored), ". ",
                      WaysOut(stored, id, IsOpenByNow(cellar, entry)), "\n");
    }
    return absl::OkStatus();
  }

  std::string text_;
  std::vector<std::string> held_, returned_;
};

}  // namespace

std::unique_ptr<Command> MakeHeld() { return std::make_unique<HeldCommand>(); }

}  // namespace rundlet::client

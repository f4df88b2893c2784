// rundlet history: every entry that concerns one thing, with what it changed and what corrected it.
#include "core/view/history.h"

#include "absl/strings/str_cat.h"
#include "client/base/safe_output.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "core/entry/named_ids.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

// What the store knows of an entry beside what it says.
struct Written {
  std::string device;
  When at;            // by the clock of the device
  std::string taken;  // "taken in 2026-03-01 10:06", "not synced"
  When received;      // by the server; 0: not known
};

class History : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_,
                   "a vessel, lot, bottling, material, packet, member, bin or piece of gear; "
                   "'lot:NAME' where several kinds share a name")
        ->type_name("THING")
        ->required();
    app.add_flag("--written", written_, "of a member: also every entry that they wrote");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const auto thing = FindAnything(fold, thing_);
    if (!thing.ok()) return thing.status();
    const auto entry_of = [&](RowId row) { return EntryOfRow(cellar, row); };
    const auto items = HistoryOf(fold, *thing, written_, entry_of);
    if (!items.ok()) return items.status();
    auto devices = DeviceNames(fold, entry_of);
    if (!devices.ok()) return devices.status();
    devices->try_emplace(fold.interner().Find(cellar.store.device().device_id),
                         cellar.store.device().device_name);
    std::vector<std::string> json_items;
    for (const HistoryItem& item : *items) {
      const auto written = WrittenOf(cellar, item, *devices, session.env.zone);
      if (!written.ok()) return written.status();
      if (json()) {
        json_items.push_back(Json(item, *written));
      } else {
        Print(item, *written, session);
      }
    }
    const auto returned = ReturnedAbout(cellar, fold.interner().id(*thing));
    if (!returned.ok()) return returned.status();
    for (const StoredEntry& stored : *returned) {
      if (json()) {
        json_items.push_back(JsonOfReturned(fold, stored));
      } else {
        PrintReturned(fold, stored, session);
      }
    }
    if (json()) {
      session.out() << JsonObject().Raw("entries", JsonArray(json_items)).Finish() << "\n";
    } else if (items->empty() && returned->empty()) {
      session.err() << "no entry concerns it\n";
    }
    return absl::OkStatus();
  }

 private:
  // What the server returned and nobody has dealt with: it is in no book but this one.
  static absl::StatusOr<std::vector<StoredEntry>> ReturnedAbout(Cellar& cellar, const Uuid& thing) {
    auto returned = OpenReturns(cellar);
    if (!returned.ok()) return returned;
    std::erase_if(*returned, [&](const StoredEntry& stored) {
      const auto entry = ReadEntry(stored.bytes);
      bool about = false;
      if (entry.ok()) ForEachNamedId(*entry, [&](const Uuid& id) { about = about || id == thing; });
      return !about;
    });
    return returned;
  }

  static void PrintReturned(const Fold& fold, const StoredEntry& stored, Session& session) {
    const auto entry = ReadEntry(stored.bytes);
    session.out() << FormatWhen({.at_us = entry->effective_at_us(),
                                 .utc_offset_min = entry->utc_offset_min()})
                  << "  [returned] " << Harmless(Summarise(fold, *entry), true) << "\n    entry "
                  << ShortId(stored.id)
                  << ", on this device alone: " << Harmless(WhyReturned(stored), true)
                  << "; see: rundlet held\n";
  }

  static std::string JsonOfReturned(const Fold& fold, const StoredEntry& stored) {
    const auto entry = ReadEntry(stored.bytes);
    return JsonObject()
        .Text("entry_id", stored.id.ToString())
        .Text("effective_at", FormatWhenIso({.at_us = entry->effective_at_us(),
                                             .utc_offset_min = entry->utc_offset_min()}))
        .Text("summary", Summarise(fold, *entry))
        .Text("state", "returned")
        .Text("reason", WhyReturned(stored))
        .Finish();
  }

  static absl::StatusOr<Written> WrittenOf(Cellar& cellar, const HistoryItem& item,
                                           const std::map<Handle, std::string>& devices,
                                           const absl::TimeZone& zone) {
    const Row& row = cellar.fold->sequence().row(cellar.fold->sequence().at(item.position));
    const auto stored = cellar.store.Find(row.id);
    if (!stored.ok()) return stored.status();
    const auto name = devices.find(item.device);
    Written written{
        .device = name != devices.end()
                      ? name->second
                      : absl::StrCat("device ", ShortId(cellar.fold->interner().id(item.device))),
        .at = {.at_us = item.line.written_at_us(), .utc_offset_min = item.line.utc_offset_min()},
        .taken = {},
        .received = {}};
    if (stored->received_at_us > 0) {
      written.received = WhenAt(absl::FromUnixMicros(stored->received_at_us), zone);
      written.taken = absl::StrCat("taken in ", FormatWhen(written.received));
    } else if (stored->state == EntryState::kOutbox) {
      written.taken = "not synced";
    }
    return written;
  }

  // "by Isolde Thornbury on her phone, written 2026-03-01 10:05, taken in 2026-03-01 10:06"
  static void Print(const HistoryItem& item, const Written& written, Session& session) {
    const v1::LogLine& line = item.line;
    std::ostream& out = session.out();
    const bool struck = !item.corrections.empty();
    out << FormatWhen({.at_us = line.effective_at_us(), .utc_offset_min = line.utc_offset_min()})
        << "  " << (struck ? absl::StrCat("[", line.state(), "] ") : "")
        << Harmless(line.summary(), true) << "\n";
    out << "    entry " << line.entry_id().substr(line.entry_id().size() - 8) << " by "
        << Harmless(line.author(), true) << " on " << Harmless(written.device, true) << ", written "
        << FormatWhen(written.at) << (written.taken.empty() ? "" : ", ") << written.taken << "\n";
    if (!line.note().empty()) out << "    note: " << Harmless(line.note(), true) << "\n";
    for (const HistoryItem::Change& change : item.changes) {
      out << "    " << change.field << ": "
          << (change.before.empty() ? "" : absl::StrCat(Harmless(change.before, true), " -> "))
          << (change.after.empty() ? "nothing" : Harmless(change.after, true)) << "\n";
    }
    for (const MovementWords& m : item.movements) {
      out << "    " << Harmless(m.what, true) << " " << m.amount << ": " << Harmless(m.from, true)
          << " -> " << Harmless(m.to, true) << "\n";
    }
    for (const HistoryItem::Correction& by : item.corrections) {
      out << "    " << (by.amends ? "amended" : "made void") << " by " << Harmless(by.author, true)
          << ", " << FormatWhen({.at_us = by.at_us, .utc_offset_min = by.utc_offset_min})
          << ", entry " << ShortId(by.entry_id) << (by.amends ? ", which stands in its place" : "")
          << (by.reason.empty() ? "" : absl::StrCat(": ", Harmless(by.reason, true))) << "\n";
    }
    if (line.state() == "held") out << "    held: " << Harmless(line.reason(), true) << "\n";
  }

  static std::string Json(const HistoryItem& item, const Written& written) {
    const v1::LogLine& line = item.line;
    std::vector<std::string> changes, movements, corrections;
    for (const HistoryItem::Change& change : item.changes) {
      changes.push_back(JsonObject()
                            .Text("field", change.field)
                            .Text("before", change.before)
                            .Text("after", change.after)
                            .Finish());
    }
    for (const MovementWords& m : item.movements) {
      movements.push_back(JsonObject()
                              .Text("what", m.what)
                              .Text("amount", m.amount)
                              .Text("from", m.from)
                              .Text("to", m.to)
                              .Finish());
    }
    for (const HistoryItem::Correction& by : item.corrections) {
      corrections.push_back(
          JsonObject()
              .Text("entry_id", by.entry_id.ToString())
              .Text("how", by.amends ? "amended" : "void")
              .Text("at", FormatWhenIso({.at_us = by.at_us, .utc_offset_min = by.utc_offset_min}))
              .Text("author", by.author)
              .Text("reason", by.reason)
              .Finish());
    }
    JsonObject object;
    object.Text("entry_id", line.entry_id())
        .Text("effective_at", FormatWhenIso({.at_us = line.effective_at_us(),
                                             .utc_offset_min = line.utc_offset_min()}))
        .Text("written_at", FormatWhenIso(written.at));
    if (written.received.at_us > 0) object.Text("received_at", FormatWhenIso(written.received));
    return object.Bool("synced", written.taken != "not synced")
        .Text("author", line.author())
        .Text("device", written.device)
        .Text("kind", line.kind())
        .Text("summary", line.summary())
        .Text("note", line.note())
        .Text("state", line.state())
        .Text("reason", line.reason())
        .Raw("changes", JsonArray(changes))
        .Raw("movements", JsonArray(movements))
        .Raw("corrections", JsonArray(corrections))
        .Finish();
  }

  std::string thing_;
  bool written_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeHistory() { return std::make_unique<History>(); }

}  // namespace rundlet::client

// rundlet handover, takeover: what one device could not hand in itself goes by way of another.
#include <optional>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/str_cat.h"
#include "client/cli/auto_sync.h"
#include "client/cli/json.h"
#include "client/cli/may.h"
#include "client/commands/commands.h"
#include "client/commands/handover_file.h"
#include "client/commands/handover_rights.h"
#include "client/store/file_lock.h"
#include "client/store/rewriter.h"
#include "core/quantity/when.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

void List(const std::vector<Handover::Item*>& items, std::ostream& out) {
  for (const Handover::Item* item : items) {
    out << "  "
        << FormatWhen({.at_us = item->entry.effective_at_us(),
                       .utc_offset_min = item->entry.utc_offset_min()})
        << "  " << item->summary << (item->state == "returned" ? " (was returned)" : "") << "\n";
  }
}

void ListLeftOut(const std::vector<LeftOut>& left_out, std::ostream& out) {
  for (const LeftOut& each : left_out)
    out << "left out: " << each.item.summary << "; " << each.why << "\n";
}

class HandoverCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_, "a new file")->type_name("FILE")->required();
  }

  absl::Status Run(Session& session) override {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    auto handover = CollectHandover(*cellar);
    if (!handover.ok()) return handover.status();
    const auto left_out = TakeOut(*cellar, *handover);
    if (!left_out.ok()) return left_out.status();
    ListLeftOut(*left_out, session.out());
    if (handover->items.empty()) {
      session.out() << (left_out->empty() ? "everything of this device is in the journal: " : "")
                    << "there is nothing to hand over\n";
      return absl::OkStatus();
    }
    if (absl::Status status = WriteHandover(*handover, file_); !status.ok()) return status;
    std::vector<Handover::Item*> items;
    for (Handover::Item& item : handover->items) items.push_back(&item);
    List(items, session.out());
    session.out() << items.size() << (items.size() == 1 ? " entry is" : " entries are") << " in "
                  << file_ << "; on another device of the cellar: rundlet takeover FILE\n"
                  << "they stay here, too; once they are taken over, a sync of this device only "
                     "gets them back (rundlet held)\n";
    return absl::OkStatus();
  }

 private:
  std::string file_;
};

class Takeover : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_, "what rundlet handover wrote")->type_name("FILE")->required();
    app.add_flag("--dry-run", dry_run_, "say what would happen, save nothing");
    app.add_flag("--json", json_, "print JSON");
  }

  absl::Status Run(Session& session) override {
    auto handover = ReadHandover(file_);
    if (!handover.ok()) return handover.status();
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (const auto store = Store::Open(*home); !store.ok()) return store.status();
    std::optional<FileLock> lock;
    auto taken = FileLock::Acquire(home->writer_lock(), absl::Seconds(10),
                                   "another rundlet is writing on this device: try again when it "
                                   "is done");
    if (!taken.ok()) return taken.status();
    lock = *std::move(taken);
    if (absl::Status status = Take(*handover, session); !status.ok()) return status;
    lock.reset();
    if (!dry_run_) AutoSync(session, *home);
    return absl::OkStatus();
  }

 private:
  absl::Status Take(Handover& handover, Session& session) const {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const Device& device = cellar->store.device();
    if (handover.cellar_id != device.cellar_id)
      return absl::FailedPreconditionError(
          absl::StrCat(file_, " is of the cellar '", handover.cellar_name,
                       "', and this is a book of '", device.cellar_name, "': nothing was taken"));
    auto left_out = TakeOut(*cellar, handover);
    if (!left_out.ok()) return left_out.status();
    std::erase_if(*left_out, [&](const LeftOut& each) {
      return cellar->fold->sequence().Find(*Uuid::FromBytes(each.item.entry.entry_id())) != kNone;
    });
    const auto before = cellar->store.Head();
    if (!before.ok()) return before.status();
    Rewriter rewriter(device.writer(), *before);
    std::vector<WrittenEntry> written;
    std::vector<Handover::Item*> fresh;
    const std::string note =
        absl::StrCat("taken over from ", handover.member_name, "'s ", handover.device_name);
    for (Handover::Item& item : handover.items) {
      const RowId here = cellar->fold->sequence().Find(*Uuid::FromBytes(item.entry.entry_id()));
      if (here != kNone) {
        const auto known = EntryOfRow(*cellar, here);
        if (!known.ok()) return known.status();
        if (!item.entry.has_amendment()) rewriter.Moved(PlaceOf(item.entry), PlaceOf(*known));
        continue;
      }
      auto next = rewriter.Rewrite(item.bytes, note);
      if (!next.ok()) return next.status();
      written.push_back(*std::move(next));
      fresh.push_back(&item);
    }
    std::vector<v1::Entry> entries;
    for (const WrittenEntry& each : written) {
      entries.push_back(each.entry);
      cellar->fold->Insert(each.entry);  // so that they know each other's names
    }
    cellar->fold->Settle();
    for (Handover::Item* item : fresh) item->summary = Summarise(*cellar->fold, item->entry);
    for (LeftOut& each : *left_out) each.item.summary = Summarise(*cellar->fold, each.item.entry);
    if (absl::Status status = CheckMayWrite(*cellar, entries); !status.ok()) return status;
    if (!dry_run_) {
      if (absl::Status status = cellar->store.Append(written, *before); !status.ok()) return status;
    }
    Print(handover, fresh, *left_out, session);
    return absl::OkStatus();
  }

  void Print(const Handover& handover, const std::vector<Handover::Item*>& fresh,
             const std::vector<LeftOut>& left_out, Session& session) const {
    const size_t known = handover.items.size() - fresh.size();
    if (json_) {
      std::vector<std::string> ids;
      for (const Handover::Item* item : fresh)
        ids.push_back(Uuid::FromBytes(item->entry.entry_id())->ToString());
      std::vector<std::string> left_out_ids;
      for (const LeftOut& each : left_out)
        left_out_ids.push_back(Uuid::FromBytes(each.item.entry.entry_id())->ToString());
      session.out() << JsonObject()
                           .Text("device", handover.device_name)
                           .Text("member", handover.member_name)
                           .Raw("entry_ids", JsonTexts(ids))
                           .Raw("left_out_ids", JsonTexts(left_out_ids))
                           .Number("known", static_cast<int64_t>(known))
                           .Bool("saved", !dry_run_)
                           .Finish()
                    << "\n";
      return;
    }
    session.out() << "from " << handover.member_name << "'s " << handover.device_name << ":\n";
    List(fresh, session.out());
    ListLeftOut(left_out, session.out());
    session.out() << (dry_run_ ? "would take over " : "took over ") << fresh.size()
                  << (fresh.size() == 1 ? " entry" : " entries");
    if (known > 0)
      session.out() << "; " << known << (known == 1 ? " is" : " are") << " here already";
    session.out() << "\n";
  }

  std::string file_;
  bool dry_run_ = false;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeHandover() { return std::make_unique<HandoverCommand>(); }
std::unique_ptr<Command> MakeTakeover() { return std::make_unique<Takeover>(); }

}  // namespace rundlet::client

// rundlet void: an entry counts no longer.
#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "client/commands/commands.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

class Void : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("entry", entry_, "the last characters of its id, as in: rundlet log")
        ->type_name("ENTRY")
        ->required();
    app.add_option("--reason", reason_, "why");
    DeclareChangeOptions(app, options_);
  }

  absl::Status Run(Session& session) override {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const auto stored = FindEntry(*cellar, entry_);
    if (!stored.ok()) return stored.status();
    if (stored->state == EntryState::kReturned) return Drop(*cellar, *stored, session);
    return RunChange(session, options_, nullptr,
                     [this](Planner& planner, Change& change) { return Make(planner, change); });
  }

 private:
  // What the server returned is on this device alone, so nobody else need hear of it.
  absl::Status Drop(Cellar& cellar, const StoredEntry& stored, Session& session) const {
    if (!options_.dry_run) {
      if (absl::Status status = cellar.store.Drop(stored.local_no); !status.ok()) return status;
    }
    const std::string id = ShortId(stored.id);
    session.out() << (options_.json ? absl::StrCat("{\"entry_id\":\"", stored.id.ToString(),
                                                   "\",\"dropped\":true}\n")
                      : options_.dry_run
                          ? absl::StrCat("would drop ", id, ", which the server had returned\n")
                          : absl::StrCat("dropped ", id, ", which the server had returned\n"));
    return absl::OkStatus();
  }

  absl::Status Make(Planner& planner, Change& change) const {
    const auto stored = FindEntry(planner.cellar(), entry_);
    if (!stored.ok()) return stored.status();
    const auto entry = ReadEntry(stored->bytes);
    if (entry.ok() && entry->has_void_()) {
      return absl::FailedPreconditionError(
          absl::StrCat("entry ", ShortId(stored->id),
                       " is a void: it stands; write again what it voided, with --at"));
    }
    const Sequence& sequence = planner.fold().sequence();
    const RowId row = sequence.Find(stored->id);
    if (row != kNone && sequence.row(row).standing == Row::Standing::kVoid) {
      return absl::FailedPreconditionError(
          absl::StrCat("entry ", ShortId(stored->id), " counts no longer already"));
    }
    v1::Void& body = *change.Add().mutable_void_();
    body.set_target_id(stored->id.ToBytes());
    body.set_reason(reason_);
    if (row != kNone && sequence.row(row).body == v1::Entry::kOccasionClosedFieldNumber)
      change.warnings.push_back(
          "what was written with the close stays, served and sold and brought back: void those "
          "entries too, or do not enter them again");
    return absl::OkStatus();
  }

  ChangeOptions options_;
  std::string entry_, reason_;
};

}  // namespace

std::unique_ptr<Command> MakeVoid() { return std::make_unique<Void>(); }

}  // namespace rundlet::client

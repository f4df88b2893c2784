// rundlet void: an entry counts no longer.
#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "client/commands/commands.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

class Void : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
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
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("entry", entry_, "the last characters of its id, as in: rundlet log")
        ->required();
    app.add_option("--reason", reason_, "why");
  }

 private:
  std::string entry_, reason_;
};

}  // namespace

std::unique_ptr<Command> MakeVoid() { return std::make_unique<Void>(); }

}  // namespace rundlet::client

// rundlet show: everything about one thing.
#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "client/commands/show_parts.h"

namespace rundlet::client {
namespace {

class ShowCommand : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option(
           "thing", thing_,
           "anything with a name; 'lot:NAME' where several kinds share it; or an entry by its id")
        ->required();
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto thing = FindAnything(*cellar.fold, thing_);
    if (!thing.ok()) {
      const auto entry = FindEntry(cellar, thing_);
      return entry.ok() ? ShowEntry(cellar, *entry, session) : thing.status();
    }
    session.out() << (json() ? JsonOfThing(*cellar.fold, *thing)
                             : TextOfThing(*cellar.fold, *thing));
    return absl::OkStatus();
  }

 private:
  absl::Status ShowEntry(Cellar& cellar, const StoredEntry& stored, Session& session) const {
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) return entry.status();
    session.out() << (json() ? absl::StrCat(ProtoJson(*entry), "\n")
                             : TextOfEntry(cellar, stored, *entry));
    return absl::OkStatus();
  }

  std::string thing_;
};

}  // namespace

std::unique_ptr<Command> MakeShow() { return std::make_unique<ShowCommand>(); }

}  // namespace rundlet::client

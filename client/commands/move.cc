// rundlet move: bottles from bin to bin.
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

// move "Orchard White 26" 12 --from "Rack A" --to "Rack B"
class Move : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto chosen = choice_.Read(planner);
    if (!chosen.ok()) return chosen.status();
    const auto to = planner.Named(v1::Thing::kBin, to_);
    if (!to.ok()) return to.status();
    if (*to == chosen->found.bin) return Usage("they lie there already");
    WarnIfFull(planner, *to, chosen->count, change);
    v1::BottlesMoved& moved = *change.Add().mutable_bottles_moved();
    *moved.mutable_bottles() = chosen->bottles;
    moved.set_from_bin_id(chosen->found.bin.ToBytes());
    moved.set_to_bin_id(to->ToBytes());
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    choice_.Declare(app);
    app.add_option("--to", to_, "the other bin")->type_name("BIN|OCCASION")->required();
  }

 private:
  BottleChoice choice_;
  std::string to_;
};

}  // namespace

std::unique_ptr<Command> MakeMove() { return std::make_unique<Move>(); }

}  // namespace rundlet::client

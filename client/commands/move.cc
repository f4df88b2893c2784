// rundlet move: bottles from bin to bin.
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

// move "Orchard White 26" 12 --from "Rack A" --to "Rack B"
class Move : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto found = FindBottles(planner, run_, from_);
    if (!found.ok()) return found.status();
    const auto count = ReadBottleCount(count_, found->in_bin);
    if (!count.ok()) return count.status();
    const auto to = planner.Named(v1::Thing::kBin, to_);
    if (!to.ok()) return to.status();
    if (*to == found->bin) return Usage("they lie there already");
    WarnIfFull(planner, *to, *count, change);
    v1::BottlesMoved& moved = *change.Add().mutable_bottles_moved();
    *moved.mutable_bottles() = ToBottles(*found, *count);
    moved.set_from_bin_id(found->bin.ToBytes());
    moved.set_to_bin_id(to->ToBytes());
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("run", run_, "the bottling run; RUN@375mL where there are several sizes")
        ->required();
    app.add_option("count", count_, "how many, or all")->required();
    app.add_option("--from", from_, "the bin, where there are several");
    app.add_option("--to", to_, "the other bin")->required();
  }

 private:
  std::string run_, count_, from_, to_;
};

}  // namespace

std::unique_ptr<Command> MakeMove() { return std::make_unique<Move>(); }

}  // namespace rundlet::client

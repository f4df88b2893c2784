// rundlet open, finish: bottles that were opened and are not empty yet, and what became of them.
#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"
#include "core/quantity/amount.h"

namespace rundlet::client {
namespace {

// open "Harrow White 1" 2 --from "Rack A" --left 900mL
class Open : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto chosen = choice_.Read(planner);
    if (!chosen.ok()) return chosen.status();
    v1::BottlesTaken taken;
    *taken.mutable_bottles() = chosen->bottles;
    taken.set_from_bin_id(chosen->found.bin.ToBytes());
    taken.set_account(v1::ACCOUNT_OPENED);
    taken.set_occasion(occasion_);
    if (!left_.empty()) {
      const auto left_ul = ParseVolume(left_);
      if (!left_ul.ok()) return Usage(absl::StrCat("--left: ", left_ul.status().message()));
      if (*left_ul >= chosen->count * chosen->found.size_ul)
        return Usage("--left: write less than what they held when they were full");
      taken.set_left_ul(*left_ul);
    }
    change.Add().mutable_bottles_taken()->Swap(&taken);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    choice_.Declare(app);
    app.add_option("--left", left_, "what is left in all of them: 900mL")->type_name("VOLUME");
    app.add_option("--occasion", occasion_, "on what occasion");
  }

 private:
  BottleChoice choice_;
  std::string left_, occasion_;
};

// finish "Harrow White 1" 2 --reason served
class Finish : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto account = ParseAccount(reason_, BottleAccounts());
    if (!account.ok()) return account.status();
    const auto opened = FindOpened(planner, run_);
    if (!opened.ok()) return opened.status();
    const auto count = ReadBottleCount(count_, opened->in_bin);
    if (!count.ok()) return count.status();
    v1::BottlesTaken& taken = *change.Add().mutable_bottles_taken();
    *taken.mutable_bottles() = ToBottles(*opened, *count);
    taken.set_opened(true);
    taken.set_account(*account);
    taken.set_person(person_);
    taken.set_occasion(occasion_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("run", run_, "the bottling run; RUN@375mL where there are several sizes")
        ->type_name("BOTTLING")
        ->required();
    app.add_option("count", count_, "how many, or all that stand opened")
        ->type_name("COUNT|all")
        ->required();
    app.add_option("--reason", reason_, "served, dump (poured away), sample, gift ...")
        ->type_name("REASON")
        ->required();
    app.add_option("--person", person_, "who got them")->type_name("MEMBER");
    app.add_option("--occasion", occasion_, "on what occasion");
  }

 private:
  std::string run_, count_, reason_, person_, occasion_;
};

}  // namespace

std::unique_ptr<Command> MakeOpen() { return std::make_unique<Open>(); }
std::unique_ptr<Command> MakeFinish() { return std::make_unique<Finish>(); }

}  // namespace rundlet::client

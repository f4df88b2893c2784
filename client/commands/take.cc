// rundlet take: bottles out of a bin, with the reason.
#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// take "Orchard White 26" 2 --reason served
class Take : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto account = ParseAccount(reason_, BottleAccounts());
    if (!account.ok()) return account.status();
    const auto chosen = choice_.Read(planner);
    if (!chosen.ok()) return chosen.status();
    v1::BottlesTaken& taken = *change.Add().mutable_bottles_taken();
    *taken.mutable_bottles() = chosen->bottles;
    taken.set_from_bin_id(chosen->found.bin.ToBytes());
    taken.set_account(*account);
    taken.set_person(person_);
    if (*account == v1::ACCOUNT_SHARE && !person_.empty()) {
      if (const auto member = planner.Named(v1::Thing::kMember, person_); member.ok())
        taken.set_member_id(member->ToBytes());
      else
        change.warnings.push_back(absl::StrCat(
            "'", person_,
            "' is no member here, so it counts for nobody's share: rundlet member new"));
    }
    taken.set_occasion(occasion_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    choice_.Declare(app);
    app.add_option("--reason", reason_,
                   "served, sold, gift, share, donated, sample, breakage, dump, loss")
        ->type_name("served|sold|gift|share|donated|sample|breakage|dump|loss")
        ->required();
    app.add_option("--person", person_, "who got them; of a share: the member")
        ->type_name("MEMBER");
    app.add_option("--occasion", occasion_, "on what occasion");
  }

 private:
  BottleChoice choice_;
  std::string reason_, person_, occasion_;
};

}  // namespace

std::unique_ptr<Command> MakeTake() { return std::make_unique<Take>(); }

}  // namespace rundlet::client

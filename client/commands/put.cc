// rundlet put: bottles that come back into a bin.
#include "absl/strings/str_cat.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/transfer_words.h"

namespace rundlet::client {
namespace {

// How many bottles were taken out for a reason and did not come back.
int64_t BottlesOut(const Fold& fold, const FoundBottles& found, v1::Account account) {
  const Handle bottling = fold.interner().Find(found.bottling);
  int64_t out = 0;
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    const CommodityInfo& info = fold.commodities().info(m.commodity);
    if (info.kind != CommodityInfo::Kind::kBottles || info.handle != bottling ||
        info.measure != found.size_ul)
      continue;
    if (m.to == Place::Outside(account)) out += m.amount;
    if (m.from == Place::Outside(account)) out -= m.amount;
  }
  return out;
}

// put "Orchard White 26" 1 --into "Rack A" --reason served
class Put : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto account = ParseAccount(reason_, BottleAccounts());
    if (!account.ok()) return account.status();
    const auto found = FindBottlesFor(planner, run_, into_);
    if (!found.ok()) return found.status();
    const auto count = ReadBottleCount(count_, 0);
    if (!count.ok()) return count.status();
    WarnIfFull(planner, found->bin, *count, change);
    v1::BottlesReturned& returned = *change.Add().mutable_bottles_returned();
    *returned.mutable_bottles() = ToBottles(*found, *count);
    returned.set_to_bin_id(found->bin.ToBytes());
    returned.set_account(*account);
    returned.set_person(person_);
    const int64_t out = BottlesOut(planner.moment().fold(), *found, *account);
    if (*count > out) {
      change.warnings.push_back(absl::StrCat(*count, " come back, but by the book ", out, " of '",
                                             planner.NameOf(found->bottling), "' are out as ",
                                             reason_, ": is it the right run, reason and number?"));
    }
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("run", run_, "the bottling run; RUN@375mL where there are several sizes")
        ->type_name("BOTTLING")
        ->required();
    app.add_option("count", count_, "how many")->type_name("COUNT")->required();
    app.add_option("--into", into_, "the bin")->type_name("BIN")->required();
    app.add_option("--reason", reason_, "for what they had been taken: served, sold, gift ...")
        ->type_name("REASON")
        ->required();
    app.add_option("--person", person_, "who brought them back")->type_name("MEMBER");
  }

 private:
  std::string run_, count_, into_, reason_, person_;
};

}  // namespace

std::unique_ptr<Command> MakePut() { return std::make_unique<Put>(); }

}  // namespace rundlet::client

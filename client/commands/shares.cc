// rundlet contribute, shares: who put what into a lot, and what of its bottles is theirs.
#include "core/costs/shares.h"

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/entry/limits.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using costs::LotShares;
using costs::MemberShare;
using costs::SizeShare;

// contribute "Harrow White" --who "Maud Ferrier" --money 50.00
// contribute "Harrow White" --who "Colm Adeyemi" --fruit 30kg --worth 45.00
class Contribute : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    v1::Contributed put;
    const auto lot = planner.Named(v1::Thing::kLot, lot_);
    if (!lot.ok()) return lot.status();
    put.set_lot_id(lot->ToBytes());
    const auto member = planner.Named(v1::Thing::kMember, member_);
    if (!member.ok()) return member.status();
    put.set_member_id(member->ToBytes());
    put.set_what(what_);
    if (absl::Status status = ReadWhat(planner.fold().directory().settings().currency(), put);
        !status.ok())
      return status;
    if (!worth_.empty()) {
      const auto cents = ParseMoney(worth_, planner.fold().directory().settings().currency());
      if (!cents.ok()) return Usage(absl::StrCat("--worth: ", cents.status().message()));
      put.set_worth_cents(*cents);
    }
    if (put.worth_cents() == 0)
      change.warnings.push_back(
          "it counts for nothing when the lot is shared out: agree on a worth, --worth 20.00");
    change.Add().mutable_contributed()->Swap(&put);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("lot", lot_, "the lot")->type_name("LOT")->required();
    app.add_option("--who", member_, "the member")->type_name("MEMBER")->required();
    app.add_option("--money", money_, "a sum of money: 50.00")->type_name("SUM");
    app.add_option("--fruit", fruit_, "fruit: 30kg")->type_name("MASS");
    app.add_option("--work", work_, "work: 90min, 2h")->type_name("DURATION");
    app.add_option("--bottles", bottles_, "empty bottles, closures: 24")->type_name("COUNT");
    app.add_option("--worth", worth_, "what it counts for when the lot is shared out: 45.00")
        ->type_name("SUM");
    app.add_option("--for", what_, "what it was: \"picking on Saturday\"");
  }

 private:
  absl::Status ReadWhat(const std::string& currency, v1::Contributed& put) const {
    const int said = !money_.empty() + !fruit_.empty() + !work_.empty() + !bottles_.empty();
    if (said != 1) return Usage("what was it? One of --money, --fruit, --work and --bottles");
    if (!money_.empty()) {
      const auto cents = ParseMoney(money_, currency);
      if (!cents.ok()) return Usage(absl::StrCat("--money: ", cents.status().message()));
      put.set_kind(v1::CONTRIBUTION_KIND_MONEY);
      put.set_worth_cents(*cents);
    } else if (!fruit_.empty()) {
      const auto mass_ug = ParseMass(fruit_);
      if (!mass_ug.ok()) return Usage(absl::StrCat("--fruit: ", mass_ug.status().message()));
      put.set_kind(v1::CONTRIBUTION_KIND_FRUIT);
      put.set_amount(*mass_ug);
    } else if (!work_.empty()) {
      absl::Duration time;
      if (!absl::ParseDuration(
              absl::EndsWith(work_, "min") ? work_.substr(0, work_.size() - 2) : work_, &time) ||
          time < absl::Minutes(1) || time > absl::Minutes(kMaxDurationMin))
        return Usage(absl::StrCat("--work: '", work_, "' is no time: write 90min or 2h"));
      put.set_kind(v1::CONTRIBUTION_KIND_WORK);
      put.set_amount(absl::ToInt64Minutes(time));
    } else {
      const auto count = ParseCount(bottles_);
      if (!count.ok()) return Usage(absl::StrCat("--bottles: ", count.status().message()));
      put.set_kind(v1::CONTRIBUTION_KIND_BOTTLES);
      put.set_amount(*count);
    }
    return absl::OkStatus();
  }

  std::string lot_, member_, money_, fruit_, work_, bottles_, worth_, what_;
};

// shares "Harrow White"
class Shares : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("lot", lot_, "the lot")->type_name("LOT")->required();
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const auto lot = FindByName(fold, v1::Thing::kLot, lot_);
    if (!lot.ok()) return lot.status();
    const LotShares shares = costs::SharesOf(fold, *lot);
    if (json()) {
      session.out() << Json(fold, shares) << "\n";
      return absl::OkStatus();
    }
    if (shares.members.empty()) {
      session.out() << "nobody has put anything into " << NameOf(fold, *lot)
                    << " by the book: rundlet contribute\n";
      return absl::OkStatus();
    }
    Print(fold, shares, session);
    return absl::OkStatus();
  }

 private:
  static void Print(const Fold& fold, const LotShares& shares, Session& session) {
    const std::string& currency = fold.directory().settings().currency();
    std::vector<std::string> headings = {"Member", ">Worth", ">Fruit", ">Work"};
    for (const SizeShare& size : shares.sizes) {
      const std::string volume = FormatVolume(size.size_ul);
      headings.push_back(absl::StrCat(">", volume));
      headings.push_back(">taken");
      headings.push_back(">left");
    }
    Table table(headings);
    for (size_t i = 0; i < shares.members.size(); ++i) {
      const MemberShare& member = shares.members[i];
      std::vector<std::string> row = {
          NameOf(fold, member.member), FormatMoney(member.worth_cents, currency),
          member.fruit_ug > 0 ? FormatMass(member.fruit_ug) : "",
          member.work_min > 0 ? absl::StrCat(member.work_min, " min") : ""};
      for (const SizeShare& size : shares.sizes) {
        row.push_back(absl::StrCat(size.entitled[i]));
        row.push_back(absl::StrCat(size.taken[i]));
        row.push_back(absl::StrCat(size.entitled[i] - size.taken[i]));
      }
      table.Add(std::move(row));
    }
    session.out() << table.Print(session.columns());
    if (shares.sizes.empty()) {
      session.out() << "\nnothing of it is bottled yet\n";
    } else if (shares.worth_cents() == 0) {
      session.out() << "\nnothing is shared out: no contribution has a worth\n";
    } else {
      session.out() << "\nwhole bottles by worth, remainders to the largest; taken: rundlet take "
                       "RUN COUNT --reason share --person MEMBER\n";
    }
  }

  static std::string Json(const Fold& fold, const LotShares& shares) {
    std::vector<std::string> members;
    for (size_t i = 0; i < shares.members.size(); ++i) {
      const MemberShare& member = shares.members[i];
      std::vector<std::string> sizes;
      for (const SizeShare& size : shares.sizes) {
        sizes.push_back(JsonObject()
                            .Number("size_ul", size.size_ul)
                            .Number("entitled", size.entitled[i])
                            .Number("taken", size.taken[i])
                            .Finish());
      }
      members.push_back(JsonObject()
                            .Text("member", NameOf(fold, member.member))
                            .Number("worth_cents", member.worth_cents)
                            .Number("fruit_ug", member.fruit_ug)
                            .Number("work_min", member.work_min)
                            .Raw("bottles", JsonArray(sizes))
                            .Finish());
    }
    return JsonObject()
        .Text("lot", NameOf(fold, shares.lot))
        .Number("worth_cents", shares.worth_cents())
        .Raw("members", JsonArray(members))
        .Finish();
  }

  std::string lot_;
};

}  // namespace

std::unique_ptr<Command> MakeContribute() { return std::make_unique<Contribute>(); }
std::unique_ptr<Command> MakeShares() { return std::make_unique<Shares>(); }

}  // namespace rundlet::client

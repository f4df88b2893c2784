// rundlet buy: what the running plans will want of materials, and what is on hand.
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/care/needs.h"
#include "core/quantity/format.h"

namespace rundlet::client {
namespace {

constexpr int kMaxDays = 366;
constexpr int64_t kDayUs = int64_t{24} * 3600 * 1'000'000;

std::string AmountText(Dimension dimension, int64_t base) {
  return base == 0 ? "" : FormatAmount({.dimension = dimension, .base = base});
}

class Buy : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("--days", days_, "how many days ahead; else 31")->type_name("NUMBER");
    app.add_flag("--all", all_, "also what there is enough of");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    int days = 31;
    if (!days_.empty() && (!absl::SimpleAtoi(days_, &days) || days < 1 || days > kMaxDays))
      return Usage(absl::StrCat("--days: write a number from 1 to ", kMaxDays));
    const int64_t now_us = session.env.Now().at_us;
    const absl::CivilDay today(session.env.zone.At(absl::FromUnixMicros(now_us)).cs);
    std::vector<care::Need> needs =
        care::NeedsOf(*cellar.fold, now_us, now_us + days * kDayUs, today);
    if (!all_) std::erase_if(needs, [](const care::Need& need) { return !Speaks(need); });
    if (json()) {
      session.out() << Json(needs) << "\n";
      return absl::OkStatus();
    }
    if (needs.empty()) {
      session.out() << "the running plans want nothing within " << days
                    << (days == 1 ? " day" : " days") << " that is not on hand\n";
      return absl::OkStatus();
    }
    Print(needs, session);
    return absl::OkStatus();
  }

 private:
  static bool Speaks(const care::Need& need) {
    return need.Short() > 0 || (need.unmeasured && need.on_hand == 0);
  }

  static std::string Verdict(const care::Need& need) {
    if (need.Short() > 0) return AmountText(need.dimension, need.Short());
    return Speaks(need) ? "as needed" : "";
  }

  void Print(const std::vector<care::Need>& needs, Session& session) const {
    Table table(
        {"Material", ">Buy", ">Wanted", ">To keep", ">On hand", ">Expired", "First use", "Plans"});
    for (const care::Need& need : needs) {
      const std::string day =
          need.first_use_us == 0
              ? ""
              : FormatWhenDay(WhenAt(absl::FromUnixMicros(need.first_use_us), session.env.zone));
      table.Add({need.material, Verdict(need),
                 need.unmeasured ? absl::StrCat(AmountText(need.dimension, need.wanted),
                                                need.wanted > 0 ? " and " : "", "as needed")
                                 : AmountText(need.dimension, need.wanted),
                 AmountText(need.dimension, need.keep),
                 need.on_hand == 0 ? "none" : AmountText(need.dimension, need.on_hand),
                 AmountText(need.dimension, need.expired), day, absl::StrJoin(need.plans, ", ")});
    }
    session.out()
        << table.Print(session.columns())
        << "\nDoses are worked out for what the vessels hold now; came in: rundlet packet "
           "new\n";
  }

  static std::string Json(const std::vector<care::Need>& needs) {
    std::vector<std::string> items;
    for (const care::Need& need : needs) {
      items.push_back(JsonObject()
                          .Text("material", need.material)
                          .Text("dimension", DimensionName(need.dimension))
                          .Number("short", need.Short())
                          .Number("wanted", need.wanted)
                          .Number("keep", need.keep)
                          .Number("on_hand", need.on_hand)
                          .Number("expired", need.expired)
                          .Bool("as_needed", need.unmeasured)
                          .Raw("plans", JsonTexts(need.plans))
                          .Finish());
    }
    return JsonObject().Raw("needs", JsonArray(items)).Finish();
  }

  std::string days_;
  bool all_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeBuy() { return std::make_unique<Buy>(); }

}  // namespace rundlet::client

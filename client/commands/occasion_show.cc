// rundlet occasion list, show: what was taken along, and what became of it.
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/counts/occasion.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using counts::Occasion;
using counts::OccasionLine;

std::string JsonOfOccasion(const Fold& fold, const Occasion& occasion) {
  std::vector<std::string> lines;
  for (const OccasionLine& line : occasion.lines) {
    const CommodityInfo& info = fold.commodities().info(line.commodity);
    JsonObject out;
    for (const auto& [account, bottles] : line.out) out.Number(AccountWord(account), bottles);
    lines.push_back(JsonObject()
                        .Text("run", NameOf(fold, info.handle))
                        .Number("size_ul", info.measure)
                        .Number("brought", line.brought)
                        .Number("back", line.back)
                        .Raw("out", out.Finish())
                        .Number("left", line.left)
                        .Finish());
  }
  return JsonObject()
      .Text("occasion", NameOf(fold, occasion.bin))
      .Text("on", occasion.on)
      .Bool("closed", occasion.closed != kNone)
      .Raw("bottles", JsonArray(lines))
      .Finish();
}

class OccasionList : public ViewCommand {
 protected:
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const std::vector<Occasion> occasions = counts::Occasions(fold);
    if (json()) {
      std::vector<std::string> items;
      for (const Occasion& occasion : occasions) items.push_back(JsonOfOccasion(fold, occasion));
      session.out() << JsonObject().Raw("occasions", JsonArray(items)).Finish() << "\n";
      return absl::OkStatus();
    }
    if (occasions.empty()) {
      session.out() << "there was no occasion yet: rundlet occasion open NAME --bring RUN=6\n";
      return absl::OkStatus();
    }
    Table table({"Occasion", "On", "State", ">Brought", ">Back", ">Gone", ">Left"});
    for (const Occasion& occasion : occasions) {
      int64_t brought = 0, back = 0;
      for (const OccasionLine& line : occasion.lines) {
        brought += line.brought;
        back += line.back;
      }
      table.Add({NameOf(fold, occasion.bin), occasion.on,
                 occasion.closed == kNone ? "open" : "closed", absl::StrCat(brought),
                 absl::StrCat(back), absl::StrCat(brought - back - occasion.left()),
                 absl::StrCat(occasion.left())});
    }
    session.out() << table.Print(session.columns());
    return absl::OkStatus();
  }
};

class OccasionShow : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("name", name_, "the occasion")->type_name("OCCASION")->required();
  }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const auto bin = FindByName(fold, v1::Thing::kBin, name_);
    if (!bin.ok()) return bin.status();
    if (!counts::IsOccasion(fold, *bin))
      return Usage(absl::StrCat("'", name_, "' is a bin: rundlet show '", name_, "'"));
    const Occasion occasion = counts::OccasionOf(fold, *bin);
    if (json()) {
      session.out() << JsonOfOccasion(fold, occasion) << "\n";
      return absl::OkStatus();
    }
    session.out() << NameOf(fold, *bin) << ", " << occasion.on << ", "
                  << (occasion.closed == kNone ? "open" : "closed") << "\n\n";
    static constexpr v1::Account kColumns[] = {
        v1::ACCOUNT_SERVED, v1::ACCOUNT_SOLD,     v1::ACCOUNT_GIFT,   v1::ACCOUNT_DONATED,
        v1::ACCOUNT_SHARE,  v1::ACCOUNT_BREAKAGE, v1::ACCOUNT_SAMPLE, v1::ACCOUNT_OPENED,
        v1::ACCOUNT_DUMP,   v1::ACCOUNT_LOSS,     v1::ACCOUNT_COUNTED};
    std::vector<std::string> headings = {"Bottles", ">Size", ">Brought", ">Back"};
    for (const v1::Account account : kColumns)
      headings.push_back(absl::StrCat(">", AccountWord(account)));
    headings.emplace_back(">Left");
    Table table(headings);
    for (const OccasionLine& line : occasion.lines) {
      const CommodityInfo& info = fold.commodities().info(line.commodity);
      std::vector<std::string> row = {NameOf(fold, info.handle), FormatVolume(info.measure),
                                      absl::StrCat(line.brought), absl::StrCat(line.back)};
      for (const v1::Account account : kColumns) {
        const auto out = line.out.find(account);
        row.push_back(out == line.out.end() ? "" : absl::StrCat(out->second));
      }
      row.push_back(absl::StrCat(line.left));
      table.Add(std::move(row));
    }
    session.out() << table.Print(session.columns());
    return absl::OkStatus();
  }

 private:
  std::string name_;
};

}  // namespace

std::unique_ptr<Command> MakeOccasionList() { return std::make_unique<OccasionList>(); }
std::unique_ptr<Command> MakeOccasionShow() { return std::make_unique<OccasionShow>(); }

}  // namespace rundlet::client

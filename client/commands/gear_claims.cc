// rundlet gear claims: who has shared things, and who has booked them.
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "core/care/gear.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

class GearClaims : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", thing_, "only this thing")->type_name("GEAR|VESSEL");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    const int64_t now_us = session.env.Now().at_us;
    std::vector<care::Claim> claims = care::ClaimsAt(fold, now_us);
    if (!thing_.empty()) {
      const auto thing = FindAnything(fold, thing_);
      if (!thing.ok()) return thing.status();
      std::erase_if(claims, [&](const care::Claim& claim) { return claim.gear != *thing; });
    }
    const std::vector<care::Clash> clashes = care::ClashesOf(fold, claims, now_us);
    if (json()) {
      session.out() << Json(fold, claims, clashes, now_us) << "\n";
      return absl::OkStatus();
    }
    if (claims.empty()) {
      session.out() << "everything is in its place, and nobody has booked anything\n";
      return absl::OkStatus();
    }
    Table table({"What", "Who", "When", "State", "For", "Entry"});
    for (const care::Claim& claim : claims)
      table.Add({Name(fold, claim.gear), Name(fold, claim.member), care::SpanText(fold, claim),
                 State(claim, now_us), claim.purpose, ShortId(fold.sequence().row(claim.row).id)});
    session.out() << table.Print(session.columns());
    for (const care::Clash& clash : clashes)
      session.out() << "\nboth want it: " << care::ClashText(fold, clash)
                    << "\n  to give one up: rundlet void "
                    << ShortId(fold.sequence().row(clash.second.row).id) << "\n";
    return absl::OkStatus();
  }

 private:
  static std::string Name(const Fold& fold, Handle handle) {
    return fold.directory().NameOf(handle, fold.sequence());
  }
  static std::string State(const care::Claim& claim, int64_t now_us) {
    if (!claim.lent) return "booked";
    return claim.until_us < now_us ? "overdue" : "lent";
  }
  static std::string Json(const Fold& fold, const std::vector<care::Claim>& claims,
                          const std::vector<care::Clash>& clashes, int64_t now_us) {
    const auto time = [&](const care::Claim& claim, int64_t at_us) {
      return FormatWhenIso({at_us, fold.sequence().row(claim.row).utc_offset_min});
    };
    const auto item = [&](const care::Claim& claim) {
      JsonObject json;
      json.Text("entry_id", fold.sequence().row(claim.row).id.ToString())
          .Text("gear", Name(fold, claim.gear))
          .Text("member", Name(fold, claim.member))
          .Text("state", State(claim, now_us))
          .Text("from", time(claim, claim.from_us));
      if (claim.until_us != INT64_MAX) json.Text("until", time(claim, claim.until_us));
      return json.Text("purpose", claim.purpose).Finish();
    };
    std::vector<std::string> items, pairs;
    for (const care::Claim& claim : claims) items.push_back(item(claim));
    for (const care::Clash& clash : clashes)
      pairs.push_back(JsonArray({item(clash.first), item(clash.second)}));
    return JsonObject().Raw("claims", JsonArray(items)).Raw("clashes", JsonArray(pairs)).Finish();
  }

  std::string thing_;
};

}  // namespace

std::unique_ptr<Command> MakeGearClaims() { return std::make_unique<GearClaims>(); }

}  // namespace rundlet::client

#include "core/reports/home.h"

#include <map>
#include <string>

#include "absl/strings/str_cat.h"
#include "core/quantity/format.h"
#include "core/reports/home_rules.h"
#include "core/reports/names.h"

namespace rundlet::reports {
namespace {

constexpr char kForSale[] = "sale";

std::string HouseholdOf(const Fold& fold, Handle member) {
  const Directory::Known* known = fold.directory().Find(member);
  const std::string& said = known == nullptr ? std::string() : known->thing.member().household();
  return said.empty() ? "no household said" : said;
}

bool IsForSale(const Fold& fold, Handle lot) {
  const Directory::Known* known = fold.directory().Find(lot);
  return known != nullptr && known->thing.lot().made_for() == kForSale;
}

// What an entry brought in from an account, but into lots for sale.
int64_t BroughtBy(const Fold& fold, size_t position, v1::Account account) {
  int64_t volume_ul = 0;
  for (const Movement& m : fold.MovementsAt(position)) {
    if (m.commodity != kWine || m.from != Place::Outside(account)) continue;
    // A delivery has a lot of its own; what an addition brings is of the vessel's.
    const Parcel& parcel =
        fold.state().parcels()[account == v1::ACCOUNT_SOURCE ? m.from_parcel : m.to_parcel];
    if (!IsForSale(fold, parcel.lot)) volume_ul += m.amount;
  }
  return volume_ul;
}

void TellHousehold(const Fold& fold, const std::string& household, int64_t made_ul, Sink& sink) {
  const auto& codes = fold.directory().settings().jurisdictions().codes();
  const auto row = [&](absl::string_view code, absl::string_view rule, Cell allowance, Cell share,
                       absl::string_view source, absl::string_view standing) {
    sink.Row({Cell::Text(household), Cell::Volume(made_ul),
              Cell::Text(FormatVolume(made_ul, UnitSystem::kUs)), Cell::Text(code),
              Cell::Text(rule), std::move(allowance), std::move(share), Cell::Text(source),
              Cell::Text(standing)});
  };
  if (codes.empty()) {
    row("", "no jurisdiction is set: rundlet settings change --jurisdictions US", {}, {}, "", "");
  }
  for (const std::string& code : codes) {
    const absl::Span<const HomeRule> rules = HomeRulesOf(code);
    if (rules.empty()) row(code, "no rule is known here, which is no leave", {}, {}, "", "");
    for (const HomeRule& rule : rules) {
      Cell allowance, share;
      if (rule.allowance_ul > 0) {
        allowance = Cell::Volume(rule.allowance_ul);
        share = Cell::Ppm(
            static_cast<int64_t>(static_cast<__int128>(made_ul) * 1'000'000 / rule.allowance_ul));
      }
      row(code, rule.rule, std::move(allowance), std::move(share), rule.source, rule.standing);
    }
  }
}

}  // namespace

absl::Status TellHome(const Fold& fold, const Period& year,
                      absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)> entry_of, Sink& sink) {
  std::map<std::string, int64_t> made;
  const Sequence& order = fold.sequence();
  for (size_t position = 0; position < order.size(); ++position) {
    const Row& row = order.row(order.at(position));
    if (!year.Holds(row.effective_at_us) || fold.MovementsAt(position).empty()) continue;
    int64_t volume_ul = 0;
    if (row.kind == ActKind::kAdd) {
      volume_ul = BroughtBy(fold, position, v1::ACCOUNT_ADDITION);
    } else if (row.kind == ActKind::kReceive) {
      const auto entry = entry_of(order.at(position));
      if (!entry.ok()) return entry.status();
      if (entry->wine_received().kind() != v1::INFLOW_KIND_BULK_WINE)
        volume_ul = BroughtBy(fold, position, v1::ACCOUNT_SOURCE);
    }
    if (volume_ul > 0) made[HouseholdOf(fold, row.author)] += volume_ul;
  }
  sink.Begin("home", {{"household", "Household"},
                      {"made", "Made", true},
                      {"made_us", "US measure", true},
                      {"jurisdiction", "Where"},
                      {.key = "rule", .heading = "Rule", .under = true},
                      {"allowance", "Allowance", true},
                      {"share_percent", "Used", true},
                      {.key = "source", .heading = "Source", .under = true},
                      {.key = "standing", .heading = "Seen", .under = true}});
  for (const auto& [household, made_ul] : made) TellHousehold(fold, household, made_ul, sink);
  sink.Note(
      "made is what was received to be fermented and what additions brought, before lees and "
      "losses; bulk wine and lots for sale are left out; it counts for the household of whoever "
      "wrote it in");
  sink.Note("how many adults a household has is not in the book; check with your authority");
  return absl::OkStatus();
}

}  // namespace rundlet::reports

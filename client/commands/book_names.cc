#include "client/commands/book_names.h"

#include "absl/strings/str_cat.h"
#include "client/commands/plan_words.h"
#include "client/commands/rule_words.h"
#include "client/store/store_home.h"
#include "core/counts/occasion.h"
#include "core/plans/templates.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr size_t kLatest = 20;  // entries that are offered

struct KindOfWord {
  absl::string_view word;
  v1::Thing::KindCase kind;
};
constexpr KindOfWord kThings[] = {
    {"VESSEL", v1::Thing::kVessel},     {"LOT", v1::Thing::kLot},
    {"BOTTLING", v1::Thing::kBottling}, {"BIN", v1::Thing::kBin},
    {"MATERIAL", v1::Thing::kMaterial}, {"PACKET", v1::Thing::kMaterialLot},
    {"GEAR", v1::Thing::kEquipment},    {"MEMBER", v1::Thing::kMember}};

// "23 L of Harrow White"; what tells most of a thing in a few words.
std::string AboutThing(const Fold& fold, Handle thing, v1::Thing::KindCase kind) {
  if (kind == v1::Thing::kVessel) {
    const Holding& holding = fold.state().holding(thing);
    if (holding.volume_ul == 0) return "vessel, empty";
    return absl::StrCat(FormatVolume(holding.volume_ul), " of ", NameOf(fold, holding.lot));
  }
  if (kind == v1::Thing::kMaterialLot) {
    const std::string& code = fold.directory().Find(thing)->thing.material_lot().supplier_lot();
    const v1::Material* material = FindMaterial(fold, thing);
    return absl::StrCat("packet", material == nullptr ? "" : " of ",
                        material == nullptr ? "" : material->name(), code.empty() ? "" : ", ",
                        code);
  }
  return std::string(KindWord(kind));
}

}  // namespace

Cellar* BookNames::Book() {
  if (looked_) return cellar_.get();
  looked_ = true;
  const auto home = StoreHome::Locate(env_);
  if (!home.ok()) return nullptr;
  auto cellar = OpenCellar(*home);
  if (cellar.ok()) cellar_ = std::make_unique<Cellar>(*std::move(cellar));
  return cellar_.get();
}

std::vector<Candidate> BookNames::Things(v1::Thing::KindCase kind, bool occasions) {
  std::vector<Candidate> found;
  if (Book() == nullptr) return found;
  const Fold& fold = *cellar_->fold;
  for (const Handle thing : ThingsByName(fold, kind)) {
    const bool occasion = kind == v1::Thing::kBin && counts::IsOccasion(fold, thing);
    if (occasion != occasions) continue;
    found.push_back({NameOf(fold, thing), occasion ? "occasion" : AboutThing(fold, thing, kind)});
  }
  return found;
}

std::vector<Candidate> BookNames::Plans() {
  std::vector<Candidate> found;
  if (Book() == nullptr) return found;
  for (const plans::PlanState& plan : plans::PlansOf(*cellar_->fold, env_.Now().at_us)) {
    if (plan.running()) found.push_back({plan.name, NameOf(*cellar_->fold, plan.lot)});
  }
  return found;
}

std::vector<Candidate> BookNames::Steps(const std::vector<std::string>& before) {
  std::vector<Candidate> found;
  if (before.empty() || Book() == nullptr) return found;
  const auto plans = plans::PlansOf(*cellar_->fold, env_.Now().at_us);
  const auto plan = FindPlan(*cellar_->fold, plans, before.front());
  if (!plan.ok()) return found;
  for (const plans::StepState& step : (*plan)->steps) {
    if (step.status == plans::StepStatus::kDone || step.status == plans::StepStatus::kSkipped)
      continue;
    found.push_back({step.step.key(), std::string(StatusWord(step.status))});
  }
  return found;
}

std::vector<Candidate> BookNames::Rules() {
  std::vector<Candidate> found;
  if (Book() == nullptr) return found;
  for (const rules::KnownRule& known : rules::RulesOf(*cellar_->fold).rules)
    found.push_back({known.rule.id(), known.rule.reason()});
  return found;
}

std::vector<Candidate> BookNames::LatestEntries() {
  std::vector<Candidate> found;
  if (Book() == nullptr) return found;
  const Sequence& order = cellar_->fold->sequence();
  for (size_t n = 0; n < kLatest && n < order.size(); ++n) {
    const RowId row = order.at(order.size() - 1 - n);
    const auto entry = EntryOfRow(*cellar_, row);
    if (!entry.ok()) continue;
    found.push_back({ShortId(order.row(row).id), Summarise(*cellar_->fold, *entry)});
  }
  return found;
}

std::vector<Candidate> BookNames::Of(absl::string_view kind,
                                     const std::vector<std::string>& before) {
  if (kind == "PLAN") return Plans();
  if (kind == "STEP") return Steps(before);
  if (kind == "RULE") return Rules();
  if (kind == "ENTRY") return LatestEntries();
  if (kind == "OCCASION") return Things(v1::Thing::kBin, /*occasions=*/true);
  std::vector<Candidate> found;
  if (kind == "TEMPLATE") {
    for (const plans::TemplateText& plan : plans::Templates())
      found.push_back({std::string(plan.name), "template"});
    return found;
  }
  for (const KindOfWord& known : kThings) {
    if (kind != known.word && kind != "THING") continue;
    for (Candidate& thing : Things(known.kind, /*occasions=*/false))
      found.push_back(std::move(thing));
  }
  return found;
}

}  // namespace rundlet::client

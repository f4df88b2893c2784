#include "core/rules/rule_check.h"

#include <algorithm>
#include <string>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"

namespace rundlet::rules {
namespace {

using Words = std::vector<absl::string_view>;

bool IsId(absl::string_view id) {
  if (id.empty() || id.front() == '-' || id.back() == '-' || absl::StrContains(id, "--"))
    return false;
  return std::all_of(id.begin(), id.end(), [](char c) {
    return absl::ascii_islower(c) || absl::ascii_isdigit(c) || c == '-';
  });
}

// What each kind fills in, besides {thing}.
Words FilledIn(v1::Rule::KindCase kind) {
  switch (kind) {
    case v1::Rule::kLegalLimit:
      return {"amount", "substance", "limit"};
    case v1::Rule::kStatement:
    case v1::Rule::kRange:
      return {"amount", "limit"};
    case v1::Rule::kOrder:
      return {"step", "other", "time", "need"};
    case v1::Rule::kCondition:
      return {"step", "need"};
    case v1::Rule::kWatch:
      return {"amount", "limit", "time", "what", "need"};
    case v1::Rule::kPresence:
      return {"what", "allergen", "standing"};
    case v1::Rule::kMixed:
      return {"what", "amount", "limit"};
    case v1::Rule::KIND_NOT_SET:
      break;
  }
  return {};
}

// "" or what is wrong with the words in braces.
std::string FaultInBraces(absl::string_view text, const Words& known) {
  for (size_t open = text.find('{'); open != absl::string_view::npos;
       open = text.find('{', open + 1)) {
    const size_t close = text.find('}', open);
    const absl::string_view word =
        close == absl::string_view::npos ? "" : text.substr(open + 1, close - open - 1);
    if (word != "thing" && std::find(known.begin(), known.end(), word) == known.end())
      return absl::StrCat("its kind fills in {thing}, {", absl::StrJoin(known, "}, {"), "}, not {",
                          word, "}");
  }
  return "";
}

class Checker {
 public:
  Checker(const v1::Rule& rule, const absl::flat_hash_set<std::string>& groups)
      : id_(rule.id().empty() ? "(no id)" : rule.id()), groups_(groups) {}

  void Need(bool good, absl::string_view what) {
    if (good || !status_.ok()) return;
    status_ = absl::InvalidArgumentError(absl::StrCat(id_, ": ", what));
  }

  void Groups(const google::protobuf::RepeatedPtrField<std::string>& names) {
    for (const std::string& name : names)
      Need(groups_.contains(name), absl::StrCat("there is no group '", name, "'"));
  }

  void Happens(const v1::Happening& happening, absl::string_view what) {
    Groups(happening.groups());
    Need(happening.ByteSizeLong() > 0, absl::StrCat("its ", what, " says nothing"));
  }

  void Limit(const v1::LegalLimit& limit) {
    Need(!limit.substances().empty(), "it needs a substance");
    Need(limit.added() || limit.reading() != 0, "say what is held against the limit");
  }

  void Order(const v1::Order& order) {
    Happens(order.step(), "step");
    Happens(order.other(), "other");
    Groups(order.partners());
    Need(order.relation() != v1::Order::RELATION_UNSPECIFIED, "it needs a relation");
    const bool timed = order.relation() == v1::Order::RELATION_WAITS ||
                       order.relation() == v1::Order::RELATION_ONE_AT_A_TIME;
    Need(!timed || order.minutes() > 0, "it needs minutes");
    Need(order.minutes() >= 0, "minutes are not less than nothing");
  }

  void Condition(const v1::Condition& condition) {
    Happens(condition.step(), "step");
    Need(!condition.ways().empty(), "it needs a way");
    for (const v1::Way& way : condition.ways()) {
      Need(!way.checks().empty(), "each way needs a check");
      for (const v1::Check& check : way.checks()) OneCheck(check);
    }
  }

  void OneCheck(const v1::Check& check) {
    Need(!check.need().empty(), "each check says what is missing where it fails");
    Need(check.what_case() != v1::Check::WHAT_NOT_SET, "each check needs what is checked");
    if (check.has_happened()) Happens(check.happened(), "check");
    if (check.clear().has_after()) Happens(check.clear().after(), "check");
    if (check.has_quiet()) Happens(check.quiet().happening(), "check");
    if (check.has_in_the_wine()) {
      Groups(check.in_the_wine().groups());
      Need(!check.in_the_wine().groups().empty(), "what is in the wine is named by its group");
    }
    if (!check.has_readings()) return;
    const v1::Readings& readings = check.readings();
    Need(readings.kind() != 0, "readings need a kind");
    Need(readings.count() == 1 || readings.count() == 2, "one reading or two");
  }

  void Watch(const v1::Watch& watch) {
    Need(watch.what_case() != v1::Watch::WHAT_NOT_SET, "say what is watched");
    Need(!watch.has_headspace() ||
             (watch.headspace().share_ppm() > 0 && watch.headspace().share_ppm() < 1'000'000),
         "air is a share of the vessel");
    Need(!watch.has_stuck() || watch.stuck().minutes() > 0, "it needs minutes");
    Need(!watch.has_hot_glass() ||
             (watch.hot_glass().above_millic() > 0 && !watch.hot_glass().made_of().empty()),
         "say how hot, and what the vessel is made of");
  }

  void Mixed(const v1::Mixed& mixed) {
    Groups(mixed.groups());
    Need(!mixed.groups().empty(), "say what is stirred into water");
    Need(mixed.has_at_least_millic() || mixed.has_at_most_millic(), "it needs a temperature");
  }

  void Scope(const v1::WineScope& scope) {
    for (const std::string& made_for : scope.made_for())
      Need(made_for == "sale" || made_for == "home", "a wine is made for \"sale\" or \"home\"");
  }

  const absl::Status& status() const { return status_; }

 private:
  std::string id_;
  const absl::flat_hash_set<std::string>& groups_;
  absl::Status status_;
};

}  // namespace

absl::Status CheckRule(const v1::Rule& rule, const absl::flat_hash_set<std::string>& groups) {
  Checker check(rule, groups);
  check.Need(IsId(rule.id()), "an id is words of small letters and digits with dashes");
  check.Need(rule.severity() != v1::SEVERITY_UNSPECIFIED && v1::Severity_IsValid(rule.severity()),
             "it needs a severity");
  check.Need(!rule.text().empty(), "it needs a text");
  check.Need(!rule.reason().empty(), "it needs a reason");
  check.Need(!rule.lifted_by().empty(), "say what lifts it");
  check.Need(rule.kind_case() != v1::Rule::KIND_NOT_SET, "it needs a kind");
  const std::string fault = FaultInBraces(rule.text(), FilledIn(rule.kind_case()));
  check.Need(fault.empty(), fault);
  if (rule.has_legal_limit()) check.Limit(rule.legal_limit());
  if (rule.has_order()) check.Order(rule.order());
  if (rule.has_condition()) check.Condition(rule.condition());
  if (rule.has_watch()) check.Watch(rule.watch());
  if (rule.has_mixed()) check.Mixed(rule.mixed());
  check.Scope(rule.scope());
  if (rule.has_presence()) check.Groups(rule.presence().groups());
  if (rule.has_range()) {
    check.Need(rule.range().measure() != 0, "say what is measured");
    check.Need(rule.range().has_at_least_micro() || rule.range().has_at_most_micro(),
               "it needs a figure");
  }
  if (rule.has_statement()) check.Need(rule.statement().from_ug_per_l() > 0, "it needs a figure");
  return check.status();
}

}  // namespace rundlet::rules

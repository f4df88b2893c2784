#include "core/rules/limit_check.h"

#include <algorithm>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"

namespace rundlet::rules {
namespace {

// Collects what is wrong with one thing; the first complaint stands.
class Complaint {
 public:
  explicit Complaint(absl::string_view id) : id_(id) {}

  void Need(bool good, absl::string_view what) {
    if (good || !status_.ok()) return;
    status_ = absl::InvalidArgumentError(absl::StrCat(id_.empty() ? "(no id)" : id_, ": ", what));
  }
  const absl::Status& status() const { return status_; }

 private:
  std::string id_;
  absl::Status status_;
};

// "eu-so2-red-dry": words of small letters and digits with single dashes between.
bool IsId(absl::string_view id) {
  if (id.empty() || id.front() == '-' || id.back() == '-' || absl::StrContains(id, "--")) {
    return false;
  }
  return std::all_of(id.begin(), id.end(), [](char c) {
    return absl::ascii_islower(c) || absl::ascii_isdigit(c) || c == '-';
  });
}

// YYYY, YYYY-MM or YYYY-MM-DD, by its shape.
bool IsDate(absl::string_view date) {
  if (date.size() != 4 && date.size() != 7 && date.size() != 10) return false;
  for (size_t i = 0; i < date.size(); ++i) {
    const bool dash = i == 4 || i == 7;
    if (dash ? date[i] != '-' : !absl::ascii_isdigit(date[i])) return false;
  }
  return date >= "1900" && date < "2200";
}

// The largest figure that can be meant, in each unit.
int64_t LargestValue(v1::Unit unit) {
  switch (unit) {
    case v1::UNIT_UG_PER_L:
    case v1::UNIT_UG_PER_KG:
      return 20'000'000;  // 20 g/L
    case v1::UNIT_UEQ_PER_L:
      return 200'000;
    case v1::UNIT_PPM_VOLUME:
      return 1'000'000;
    case v1::UNIT_PPM_ALCOHOL:
      return 300'000;  // 30 % vol
    case v1::UNIT_MILLIBRIX:
      return 90'000;
    case v1::UNIT_MILLIPH:
      return 14'000;
    default:
      return 0;
  }
}

bool HasFigure(v1::Kind kind) {
  return kind == v1::KIND_CEILING || kind == v1::KIND_FLOOR || kind == v1::KIND_RAISE ||
         kind == v1::KIND_CUT || kind == v1::KIND_STATEMENT;
}

template <typename T>
bool SortedAndNamed(const std::vector<T>& list) {
  return std::adjacent_find(list.begin(), list.end(), std::greater_equal<T>()) == list.end() &&
         (list.empty() || static_cast<int>(list.front()) != 0);
}

bool NamedOnce(std::vector<v1::Substance> list) {
  std::sort(list.begin(), list.end());
  return !list.empty() && SortedAndNamed(list);
}

void CheckScope(const Scope& scope, Complaint& complaint) {
  complaint.Need(SortedAndNamed(scope.colours) && SortedAndNamed(scope.styles) &&
                     SortedAndNamed(scope.fruits) && SortedAndNamed(scope.stages) &&
                     SortedAndNamed(scope.schemes),
                 "each list of its class stands in the order of the schema, nothing twice");
  for (const auto& border : {scope.sugar_from, scope.sugar_to}) {
    complaint.Need(!border.has_value() || (border->sugar_ug_l > 0 && border->sugar_ug_l <= 1e9),
                   "a border of sugar lies between 0 and 1000 g/L");
  }
  complaint.Need(!scope.sugar_from.has_value() || !scope.sugar_to.has_value() ||
                     scope.sugar_from->sugar_ug_l < scope.sugar_to->sugar_ug_l,
                 "sugar runs from less to more");
  complaint.Need(
      !scope.special.has_value() || (IsId(scope.special->id) && !scope.special->name.empty()),
      "a special class has an id of small letters and dashes, and a name");
}

bool ShareSubstance(const Limit& a, const Limit& b) {
  return std::any_of(a.substances.begin(), a.substances.end(), [&](v1::Substance substance) {
    return std::find(b.substances.begin(), b.substances.end(), substance) != b.substances.end();
  });
}

}  // namespace

absl::Status CheckSource(const v1::Source& source) {
  Complaint complaint(absl::StrCat("source ", source.id()));
  complaint.Need(IsId(source.id()), "an id is words of small letters and digits with dashes");
  complaint.Need(!source.title().empty(), "it needs a title");
  complaint.Need(v1::Mark_IsValid(source.mark()) && source.mark() != v1::MARK_UNSPECIFIED,
                 "it needs a mark");
  complaint.Need(source.text_date().empty() || IsDate(source.text_date()),
                 "text_date is YYYY, YYYY-MM or YYYY-MM-DD");
  complaint.Need(source.mark() != v1::MARK_MEMORY || source.address().empty(),
                 "what was recalled was not seen at an address");
  complaint.Need(
      source.mark() == v1::MARK_READ || source.mark() == v1::MARK_MEMORY || !source.seen().empty(),
      "say what was seen, as it is not the text in force");
  return complaint.status();
}

absl::Status CheckLimit(const Limit& limit) {
  Complaint complaint(limit.id);
  complaint.Need(IsId(limit.id), "an id is words of small letters and digits with dashes");
  complaint.Need(!limit.jurisdiction.empty() &&
                     absl::StartsWith(limit.id, absl::AsciiStrToLower(limit.jurisdiction) + "-"),
                 "an id begins with the jurisdiction");
  complaint.Need(NamedOnce(limit.substances), "it needs a substance, and each once");
  complaint.Need(limit.basis != v1::BASIS_UNSPECIFIED, "it needs a basis");
  complaint.Need(limit.kind != v1::KIND_UNSPECIFIED, "it needs a kind");
  if (HasFigure(limit.kind)) {
    complaint.Need(limit.unit != v1::UNIT_UNSPECIFIED, "its kind has a figure, which needs a unit");
    complaint.Need(limit.value > 0 && limit.value <= LargestValue(limit.unit),
                   "its figure cannot be meant: look at the unit");
  } else {
    complaint.Need(limit.value == 0 && limit.unit == v1::UNIT_UNSPECIFIED && !limit.value_excluded,
                   "its kind has no figure");
  }
  CheckScope(limit.scope, complaint);
  complaint.Need(limit.review_on.size() == 10 && IsDate(limit.review_on),
                 "its file needs a review_on, YYYY-MM-DD");
  return complaint.status();
}

absl::Status CheckTogether(absl::Span<const Limit> limits) {
  absl::flat_hash_map<absl::string_view, const Limit*> by_id;
  for (const Limit& limit : limits) {
    if (!by_id.emplace(limit.id, &limit).second) {
      return absl::InvalidArgumentError(absl::StrCat(limit.id, " is there twice"));
    }
  }
  for (const Limit& limit : limits) {
    for (const std::string& id : limit.instead_of) {
      const auto found = by_id.find(id);
      if (found == by_id.end() || found->second == &limit ||
          found->second->jurisdiction != limit.jurisdiction ||
          !ShareSubstance(limit, *found->second)) {
        return absl::InvalidArgumentError(
            absl::StrCat(limit.id, ": it cannot stand in place of '", id,
                         "', which is no other limit of this jurisdiction on its substance"));
      }
    }
  }
  return absl::OkStatus();
}

}  // namespace rundlet::rules

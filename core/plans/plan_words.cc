#include "core/plans/plan_words.h"

#include <array>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/quantity/text.h"
#include "core/view/log_line.h"

namespace rundlet::plans {
namespace {

using absl::string_view;

struct ActRow {
  const char* word;
  v1::StepAct act;
};
constexpr ActRow kActs[] = {
    {"add", v1::STEP_ACT_ADD},         {"rack", v1::STEP_ACT_RACK},
    {"top", v1::STEP_ACT_TOP},         {"blend", v1::STEP_ACT_BLEND},
    {"press", v1::STEP_ACT_PRESS},     {"read", v1::STEP_ACT_READ},
    {"treat", v1::STEP_ACT_TREAT},     {"note", v1::STEP_ACT_OBSERVE},
    {"bottle", v1::STEP_ACT_BOTTLE},   {"sanitise", v1::STEP_ACT_SANITISE},
    {"receive", v1::STEP_ACT_RECEIVE},
};
static_assert(std::size(kActs) + 1 == v1::StepAct_ARRAYSIZE);

constexpr int64_t kHoursPerDay = 24;
constexpr int64_t kMaxHours = kHoursPerDay * 366 * 5;

}  // namespace

std::string ActWord(v1::StepAct act, v1::TreatmentKind treatment) {
  for (const ActRow& row : kActs) {
    if (row.act != act) continue;
    if (act != v1::STEP_ACT_TREAT) return row.word;
    for (const TreatmentVerb& known : TreatmentVerbs()) {
      if (known.kind == treatment) return absl::StrCat(row.word, " ", known.verb);
    }
    return row.word;
  }
  return "";
}

std::optional<ActMeant> ReadActWord(string_view words) {
  const std::string tidy = absl::AsciiStrToLower(Tidy(words));
  for (const ActRow& row : kActs) {
    if (tidy == row.word) return ActMeant{.act = row.act};
  }
  string_view kind_word = tidy;
  if (!absl::ConsumePrefix(&kind_word, "treat ")) return std::nullopt;
  for (const TreatmentVerb& known : TreatmentVerbs()) {
    if (kind_word == known.verb)
      return ActMeant{.act = v1::STEP_ACT_TREAT, .treatment = known.kind};
  }
  return std::nullopt;
}

std::vector<std::string> AllActWords() {
  std::vector<std::string> words;
  for (const ActRow& row : kActs) words.emplace_back(row.word);
  for (const TreatmentVerb& known : TreatmentVerbs())
    words.push_back(absl::StrCat("treat ", known.verb));
  return words;
}

std::string FormatWait(int64_t hours) {
  const bool whole_days = hours % kHoursPerDay == 0 && hours != 0;
  const int64_t count = whole_days ? hours / kHoursPerDay : hours;
  return absl::StrCat(count, whole_days ? " day" : " hour", count == 1 ? "" : "s");
}

absl::StatusOr<int32_t> ParseWait(string_view text) {
  const std::string tidy = absl::AsciiStrToLower(Tidy(text));
  const size_t digits = std::min(tidy.find_first_not_of("0123456789"), tidy.size());
  const string_view unit = absl::StripLeadingAsciiWhitespace(string_view(tidy).substr(digits));
  int64_t hours = 0;
  if (unit == "h" || unit == "hour" || unit == "hours") hours = 1;
  if (unit == "d" || unit == "day" || unit == "days") hours = kHoursPerDay;
  if (unit == "w" || unit == "week" || unit == "weeks") hours = 7 * kHoursPerDay;
  int64_t count = 0;
  if (hours == 0 || !absl::SimpleAtoi(tidy.substr(0, digits), &count)) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text),
                     " is no wait: write a whole number of hours, days or weeks, such as 14 days"));
  }
  if (count > kMaxHours / hours) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text), " is longer than five years: write a shorter wait"));
  }
  return static_cast<int32_t>(count * hours);
}

}  // namespace rundlet::plans

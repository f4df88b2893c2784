// Goal: docs/limits.md lists every limit as the program quotes it. Method: the list is made anew
// from AllLimits() and compared with what stands between two marker lines. To take over a change,
// run
//   RUNDLET_WRITE_DOCS=1 limits_docs_test
#include <gtest/gtest.h>

#include <map>
#include <string>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_replace.h"
#include "core/rules/limits.h"
#include "core/rules/quote.h"
#include "core/rules/words.h"
#include "tests/outside/page.h"

namespace rundlet::rules {
namespace {

constexpr absl::string_view kBegin =
    "<!-- limits: begin (made by limits_docs_test; RUNDLET_WRITE_DOCS=1 rewrites it) -->\n";
constexpr absl::string_view kEnd = "<!-- limits: end -->\n";

// A cell of a table: "|" would end it, and "*" and "<" are read as marks of the page's own.
std::string Cell(absl::string_view text) {
  return absl::StrReplaceAll(text, {{"|", "\\|"}, {"*", "\\*"}, {"<", "&lt;"}});
}

std::string RowText(const Limit& limit) {
  const Quote quote = QuoteOf(limit);
  const std::string wine = ScopeText(limit.scope);
  const std::string note = limit.doubt.empty()
                               ? quote.condition
                               : absl::StrCat(quote.condition, quote.condition.empty() ? "" : "; ",
                                              "in doubt: ", limit.doubt);
  return absl::StrCat("| `", limit.id, "` | ", Cell(wine), " | ", Cell(quote.figure), " | ",
                      Cell(note), " | ", Cell(quote.citation), " | ", Name(limit.source.mark),
                      limit.source.seen.empty() ? "" : ": ", Cell(limit.source.seen), " |\n");
}

std::string CountsText() {
  std::map<v1::Mark, int> marks;
  for (const Limit& limit : AllLimits()) ++marks[limit.source.mark];
  std::vector<std::string> parts;
  for (const auto& [mark, count] : marks) parts.push_back(absl::StrCat(count, " ", Name(mark)));
  return absl::StrCat(AllLimits().size(), " limits: ", absl::StrJoin(parts, ", "), ".\n");
}

std::string ListText() {
  std::string text = absl::StrCat("\n", CountsText());
  std::string jurisdiction;
  for (const Limit& limit : AllLimits()) {
    if (limit.jurisdiction != jurisdiction) {
      jurisdiction = limit.jurisdiction;
      absl::StrAppend(&text, "\n### ", jurisdiction, "\n\nTo be read again by ", limit.review_on,
                      ".\n\n| id | wine | limit | condition | source | mark |\n",
                      "| --- | --- | --- | --- | --- | --- |\n");
    }
    absl::StrAppend(&text, RowText(limit));
  }
  return absl::StrCat(text, "\n");
}

TEST(LimitsDocsTest, ThePageListsThemAll) {
  EXPECT_EQ(testing::KeepPageEqual(RUNDLET_LIMITS_PAGE, kBegin, kEnd, ListText()), "");
}

}  // namespace
}  // namespace rundlet::rules

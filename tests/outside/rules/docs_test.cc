// Goal: docs/rules.md lists every rule as the program has it. Method: the list is made anew from
// BuiltInRules() and compared with what stands between two marker lines. To take over a change, run
//   RUNDLET_WRITE_DOCS=1 rules_docs_test
#include <gtest/gtest.h>

#include <string>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_replace.h"
#include "core/rules/rule_book.h"
#include "core/rules/words.h"
#include "tests/outside/page.h"

namespace rundlet::rules {
namespace {

constexpr absl::string_view kBegin =
    "<!-- rules: begin (made by rules_docs_test; RUNDLET_WRITE_DOCS=1 rewrites it) -->\n";
constexpr absl::string_view kEnd = "<!-- rules: end -->\n";

// A cell of a table: "|" would end it, and "*" and "<" are read as marks of the page's own.
std::string Cell(absl::string_view text) {
  return absl::StrReplaceAll(text, {{"|", "\\|"}, {"*", "\\*"}, {"<", "&lt;"}});
}

std::string ListText() {
  std::string text =
      "\n| id | severity | what is found | why | lifted by | source | review |\n"
      "| --- | --- | --- | --- | --- | --- | --- |\n";
  for (const KnownRule& known : BuiltInRules().rules) {
    absl::StrAppend(&text, "| `", known.rule.id(), "` | ", Name(known.rule.severity()), " | ",
                    Cell(known.rule.text()), " | ", Cell(known.rule.reason()), " | ",
                    Cell(known.rule.lifted_by()), " | ", Cell(known.source), " | ", known.review_on,
                    " |\n");
  }
  absl::StrAppend(&text,
                  "\nMaterials that rules speak of as one, by words in their names and kinds:\n\n",
                  "| group | words | in law | allergen |\n| --- | --- | --- | --- |\n");
  for (const v1::Group& group : BuiltInRules().groups) {
    absl::StrAppend(&text, "| ", group.id(), " | ", absl::StrJoin(group.words(), ", "), " | ",
                    group.substance() == v1::SUBSTANCE_UNSPECIFIED ? "" : Name(group.substance()),
                    " | ", group.allergen(), " |\n");
  }
  return absl::StrCat(text, "\n");
}

TEST(RulesDocsTest, ThePageListsThemAll) {
  EXPECT_EQ(testing::KeepPageEqual(RUNDLET_RULES_PAGE, kBegin, kEnd, ListText()), "");
}

}  // namespace
}  // namespace rundlet::rules

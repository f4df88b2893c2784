// Goal: the built-in rules are whole, and files that are not are refused by name, line and reason.
// Method: the embedded files; small files with one fault each.
#include "core/rules/rule_book.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"

namespace rundlet::rules {
namespace {

using ::testing::HasSubstr;

constexpr char kGood[] = R"(review_on: "2027-01-01"
groups { id: "oak" words: "oak" }
rules {
  id: "trial"
  severity: SEVERITY_NOTE
  text: "{thing}: {what}"
  reason: "For a trial."
  lifted_by: "nothing"
  presence { groups: "oak" }
}
)";

std::string ErrorOf(const std::string& text) {
  const DataFile file{.name = "trial.textproto", .text = text};
  return std::string(ReadRuleFiles({file}).status().message());
}

TEST(RuleBookTest, TheBuiltInFilesAreWhole) {
  const auto book = ReadRuleFiles(RuleFiles());
  ASSERT_TRUE(book.ok()) << book.status();
  EXPECT_GE(book->rules.size(), 28u);
  for (const KnownRule& known : book->rules) EXPECT_NE(known.source, "") << known.rule.id();
  EXPECT_EQ(FindRule(BuiltInRules(), "bottling-not-stable")->rule.severity(), v1::SEVERITY_STOP);
  EXPECT_EQ(FindRule(BuiltInRules(), "nothing"), nullptr);
}

TEST(RuleBookTest, EveryRuleCanBeWrittenOutAndReadAgain) {
  for (const KnownRule& known : BuiltInRules().rules) {
    const auto again = ReadHouseRule("again", WriteHouseRule(known), BuiltInRules());
    ASSERT_TRUE(again.ok()) << again.status();
    v1::Rule same = known.rule;
    same.set_source(known.source);
    same.clear_article();
    EXPECT_EQ(again->SerializeAsString(), same.SerializeAsString()) << known.rule.id();
  }
}

TEST(RuleBookTest, AFaultIsNamed) {
  EXPECT_EQ(ErrorOf(kGood), "");
  const auto with = [](absl::string_view from, absl::string_view to) {
    return ErrorOf(absl::StrReplaceAll(kGood, {{from, to}}));
  };
  EXPECT_THAT(with("severity:", "severty:"), HasSubstr("trial.textproto:5:10"));
  EXPECT_THAT(with("\"trial\"", "\"Trial\""), HasSubstr("Trial: an id is"));
  EXPECT_THAT(with("{what}", "{amount}"), HasSubstr("not {amount}"));
  EXPECT_THAT(with("{what}", "{what"), HasSubstr("fills in"));
  EXPECT_THAT(with("groups: \"oak\"", "groups: \"elm\""), HasSubstr("no group 'elm'"));
  EXPECT_THAT(with("  reason: \"For a trial.\"\n", ""), HasSubstr("needs a reason"));
  EXPECT_THAT(with("  presence { groups: \"oak\" }\n", ""), HasSubstr("needs a kind"));
  EXPECT_THAT(with("presence { groups: \"oak\" }", "watch { headspace { minutes: 1 } }"),
              HasSubstr("a share of the vessel"));
  EXPECT_THAT(with("  lifted_by: \"nothing\"\n", "  lifted_by: \"nothing\"\n  source: \"x\"\n"),
              HasSubstr("no source 'x'"));
  EXPECT_THAT(ErrorOf(absl::StrCat(kGood, "groups { id: \"oak\" }")), HasSubstr("twice"));
}

}  // namespace
}  // namespace rundlet::rules

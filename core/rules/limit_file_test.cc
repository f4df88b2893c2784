// Goal: a file of limits that is not whole is refused, by name and with the reason. Method: one
// good file, and the same with one thing wrong each time.
#include "core/rules/limit_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"

namespace rundlet::rules {
namespace {

using ::testing::HasSubstr;

// Invented: no such place has such a rule.
constexpr absl::string_view kGood = R"(jurisdiction: "XX"
review_on: "2030-01-31"
sources { id: "act" title: "Act of Thistledown" mark: MARK_READ }
limits {
  id: "xx-so2"
  substances: SUBSTANCE_TOTAL_SO2
  basis: BASIS_TOTAL
  kind: KIND_CEILING
  value: 150000
  unit: UNIT_UG_PER_L
  scope { colours: COLOUR_RED colours: COLOUR_WHITE sugar_from { ug_per_l: 2000000 itself: true } sugar_to { ug_per_l: 5000000 } }
  source: "act"
  article: "3"
}
limits {
  id: "xx-so2-sweet"
  substances: SUBSTANCE_TOTAL_SO2
  basis: BASIS_TOTAL
  kind: KIND_CEILING
  value: 300000
  unit: UNIT_UG_PER_L
  scope { special { id: "sweet" name: "sweet wine" } }
  source: "act"
  instead_of: "xx-so2"
}
)";

std::string Refusal(absl::string_view name, const std::string& text) {
  const DataFile file{name, text};
  const absl::StatusOr<std::vector<Limit>> read = ReadLimitFiles({file});
  if (read.ok()) return "was read";
  EXPECT_EQ(read.status().code(), absl::StatusCode::kInvalidArgument);
  return std::string(read.status().message());
}

std::string RefusalWith(absl::string_view from, absl::string_view to) {
  const std::string text = absl::StrReplaceAll(kGood, {{from, to}});
  EXPECT_NE(text, std::string(kGood)) << "nothing was changed: " << from;
  return Refusal("xx.textproto", text);
}

TEST(LimitFileTest, AGoodFileIsReadWhole) {
  const absl::StatusOr<std::vector<Limit>> read = ReadLimitFile({"xx.textproto", kGood});
  ASSERT_TRUE(read.ok()) << read.status();
  ASSERT_EQ(read->size(), 2u);
  const Limit& limit = read->front();
  EXPECT_EQ(limit.jurisdiction, "XX");
  EXPECT_EQ(limit.review_on, "2030-01-31");
  EXPECT_EQ(limit.value, 150'000);
  EXPECT_EQ(limit.source.title, "Act of Thistledown");
  EXPECT_EQ(limit.article, "3");
  EXPECT_EQ(limit.scope.colours.size(), 2u);
  EXPECT_TRUE(limit.scope.sugar_from->itself);
  EXPECT_FALSE(limit.scope.sugar_to->itself);
  EXPECT_EQ(read->back().scope.special->name, "sweet wine");
  EXPECT_EQ(read->back().instead_of.front(), "xx-so2");
}

TEST(LimitFileTest, ASlipOfSyntaxIsShownByItsLine) {
  EXPECT_THAT(RefusalWith("KIND_CEILING\n  value: 150000", "KIND_CEILIN\n  value: 150000"),
              HasSubstr("xx.textproto:9:"));
  EXPECT_THAT(RefusalWith("  article: \"3\"", "  artcle: \"3\""), HasSubstr("xx.textproto:13:"));
}

TEST(LimitFileTest, TheFileIsNamedAfterItsJurisdiction) {
  EXPECT_THAT(Refusal("yy.textproto", std::string(kGood)),
              HasSubstr("must be called xx.textproto"));
}

TEST(LimitFileTest, SourcesAreWholeAndUsed) {
  EXPECT_THAT(RefusalWith("source: \"act\"\n  article", "source: \"atc\"\n  article"),
              HasSubstr("xx-so2: the file has no source 'atc'"));
  EXPECT_THAT(RefusalWith(" mark: MARK_READ", ""), HasSubstr("source act: it needs a mark"));
  EXPECT_THAT(RefusalWith("title: \"Act of Thistledown\"", ""), HasSubstr("it needs a title"));
  EXPECT_THAT(RefusalWith("MARK_READ", "MARK_READ_OLDER"), HasSubstr("say what was seen"));
  EXPECT_THAT(RefusalWith("MARK_READ", "MARK_MEMORY address: \"https://example.org\""),
              HasSubstr("was not seen at an address"));
  EXPECT_THAT(RefusalWith("MARK_READ", "MARK_READ text_date: \"2019-1\""), HasSubstr("text_date"));
  const std::string again = "sources { id: \"act\" title: \"B\" mark: MARK_READ }\n";
  EXPECT_THAT(Refusal("xx.textproto", absl::StrCat(again, kGood)), HasSubstr("is there twice"));
  const std::string idle = "sources { id: \"b\" title: \"B\" mark: MARK_READ }\n";
  EXPECT_THAT(Refusal("xx.textproto", absl::StrCat(idle, kGood)), HasSubstr("no limit cites it"));
}

TEST(LimitFileTest, AFigureGoesWithItsKindAndUnit) {
  EXPECT_THAT(RefusalWith("value: 150000\n", "value: 150000000000\n"),
              HasSubstr("look at the unit"));
  EXPECT_THAT(RefusalWith("value: 150000\n", "value: -1\n"), HasSubstr("look at the unit"));
  EXPECT_THAT(RefusalWith("value: 150000\n", ""), HasSubstr("look at the unit"));
  EXPECT_THAT(RefusalWith("value: 150000\n  unit: UNIT_UG_PER_L", "value: 150000"),
              HasSubstr("needs a unit"));
  EXPECT_THAT(RefusalWith("KIND_CEILING\n  value: 150000", "KIND_ALLOWED\n  value: 150000"),
              HasSubstr("its kind has no figure"));
  EXPECT_THAT(RefusalWith("  kind: KIND_CEILING\n  value: 150000", "  value: 150000"),
              HasSubstr("it needs a kind"));
  EXPECT_THAT(RefusalWith("  basis: BASIS_TOTAL\n", ""), HasSubstr("it needs a basis"));
  EXPECT_THAT(RefusalWith("  substances: SUBSTANCE_TOTAL_SO2\n", ""),
              HasSubstr("it needs a substance"));
}

TEST(LimitFileTest, IdsAndClassesAreWellFormed) {
  EXPECT_THAT(RefusalWith("id: \"xx-so2\"", "id: \"xx-SO2\""), HasSubstr("an id is words"));
  EXPECT_THAT(RefusalWith("id: \"xx-so2\"", "id: \"so2\""),
              HasSubstr("begins with the jurisdiction"));
  EXPECT_THAT(RefusalWith("id: \"xx-so2-sweet\"", "id: \"xx-so2\""),
              HasSubstr("xx-so2 is there twice"));
  EXPECT_THAT(RefusalWith("colours: COLOUR_RED colours: COLOUR_WHITE",
                          "colours: COLOUR_WHITE colours: COLOUR_RED"),
              HasSubstr("order of the schema"));
  EXPECT_THAT(RefusalWith("ug_per_l: 2000000", "ug_per_l: 6000000"),
              HasSubstr("from less to more"));
  EXPECT_THAT(RefusalWith("id: \"sweet\"", "id: \"Sweet!\""), HasSubstr("a special class"));
  EXPECT_THAT(RefusalWith("review_on: \"2030-01-31\"", ""), HasSubstr("review_on"));
}

TEST(LimitFileTest, ALimitGivesWayOnlyToOneOnItsSubstance) {
  EXPECT_THAT(RefusalWith("instead_of: \"xx-so2\"", "instead_of: \"xx-none\""),
              HasSubstr("xx-so2-sweet: it cannot stand in place of 'xx-none'"));
  EXPECT_THAT(RefusalWith("instead_of: \"xx-so2\"", "instead_of: \"xx-so2-sweet\""),
              HasSubstr("cannot stand in place of"));
  EXPECT_THAT(RefusalWith("id: \"xx-so2-sweet\"\n  substances: SUBSTANCE_TOTAL_SO2",
                          "id: \"xx-so2-sweet\"\n  substances: SUBSTANCE_COPPER"),
              HasSubstr("cannot stand in place of"));
}

}  // namespace
}  // namespace rundlet::rules

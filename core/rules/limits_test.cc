// Goal: the built-in limits are whole, and a wine gets those that are for it, with what is missing
// where that cannot be told. Method: all of the files for the first; for the second, cases at both
// sides of the borders that the texts draw.
#include "core/rules/limits.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "core/rules/limit_file.h"
#include "core/rules/quote.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::UnorderedElementsAre;

std::vector<std::string> Ids(const std::vector<const Limit*>& limits) {
  std::vector<std::string> ids;
  for (const Limit* limit : limits) ids.push_back(limit->id);
  return ids;
}

std::vector<std::string> Ids(const std::vector<PossibleLimit>& limits) {
  std::vector<std::string> ids;
  for (const PossibleLimit& possible : limits) ids.push_back(possible.limit->id);
  return ids;
}

// The built-in limit of that id.
const Limit* FindLimit(absl::string_view id) {
  const auto found = std::find_if(AllLimits().begin(), AllLimits().end(),
                                  [id](const Limit& limit) { return limit.id == id; });
  return found == AllLimits().end() ? nullptr : &*found;
}

// A still grape wine that is not organic; sugar in g/L.
WineClass Still(v1::Colour colour, double sugar_g_l) {
  return {.colour = colour,
          .sugar_ug_l = static_cast<int64_t>(sugar_g_l * 1e6),
          .style = v1::STYLE_STILL,
          .fruit = v1::FRUIT_GRAPE,
          .stage = v1::STAGE_WINE,
          .scheme = v1::SCHEME_CONVENTIONAL,
          .special = {}};
}

std::vector<std::string> Ceilings(const std::string& code, const WineClass& wine) {
  std::vector<const Limit*> ceilings;
  for (const Limit* limit : LimitsFor({code}, v1::SUBSTANCE_TOTAL_SO2, wine).applying) {
    if (limit->kind == v1::KIND_CEILING) ceilings.push_back(limit);
  }
  return Ids(ceilings);
}

TEST(LimitsTest, TheBuiltInFilesAreWhole) {
  const absl::StatusOr<std::vector<Limit>> read = ReadLimitFiles(LimitFiles());
  ASSERT_TRUE(read.ok()) << read.status();
  EXPECT_EQ(read->size(), AllLimits().size());
  EXPECT_THAT(KnownJurisdictions(),
              UnorderedElementsAre("EU", "GB", "US", "OIV", "AU", "NZ", "CA", "ZA"));
  std::set<std::string> ids;
  for (const Limit& limit : AllLimits()) {
    EXPECT_TRUE(ids.insert(limit.id).second) << limit.id;
    EXPECT_FALSE(limit.source.title.empty()) << limit.id;
    EXPECT_NE(limit.source.mark, v1::MARK_UNSPECIFIED) << limit.id;
    EXPECT_EQ(limit.source.address.find("://1"), std::string::npos) << limit.id;
  }
}

TEST(LimitsTest, EveryWordHasAName) {
  for (int i = 1; i <= v1::Substance_MAX; ++i) {
    if (!v1::Substance_IsValid(i)) continue;
    EXPECT_NE(Name(static_cast<v1::Substance>(i)), "unknown") << i;
  }
  for (int i = 1; i <= v1::Fruit_MAX; ++i) EXPECT_NE(Name(static_cast<v1::Fruit>(i)), "unknown");
  for (int i = 1; i <= v1::Mark_MAX; ++i) EXPECT_NE(Name(static_cast<v1::Mark>(i)), "unknown");
  for (int i = 1; i <= v1::Scheme_MAX; ++i) EXPECT_NE(Name(static_cast<v1::Scheme>(i)), "unknown");
  EXPECT_EQ(Name(static_cast<v1::Substance>(9)), "unknown");
  EXPECT_EQ(Name(static_cast<v1::Colour>(-1)), "unknown");
}

TEST(LimitsTest, SugarBordersFallAsTheTextsDrawThem) {
  EXPECT_THAT(Ceilings("EU", Still(v1::COLOUR_RED, 4.999999)), ElementsAre("eu-so2-red-dry"));
  EXPECT_THAT(Ceilings("EU", Still(v1::COLOUR_RED, 5)), ElementsAre("eu-so2-red-sweet"));
  EXPECT_THAT(Ceilings("GB", Still(v1::COLOUR_ROSE, 5)), ElementsAre("gb-so2-white-sweet"));
  EXPECT_THAT(Ceilings("OIV", Still(v1::COLOUR_WHITE, 4)), ElementsAre("oiv-so2-white-dry"));
  EXPECT_THAT(Ceilings("OIV", Still(v1::COLOUR_WHITE, 4.000001)), ElementsAre("oiv-so2-sweet"));
  EXPECT_THAT(Ceilings("ZA", Still(v1::COLOUR_WHITE, 5)), ElementsAre("za-so2-white-dry"));
  EXPECT_THAT(Ceilings("AU", Still(v1::COLOUR_WHITE, 35)), ElementsAre("au-so2-sweet"));
  EXPECT_THAT(Ceilings("US", Still(v1::COLOUR_WHITE, 80)), ElementsAre("us-so2"));
}

TEST(LimitsTest, AnOrganicWineKeepsTheCeilingOfItsClassToo) {
  WineClass wine = Still(v1::COLOUR_RED, 3);
  wine.scheme = v1::SCHEME_ORGANIC;
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-so2-red-dry", "eu-organic-so2-red-off-dry"));
  wine.sugar_ug_l = 1'999'999;
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-so2-red-dry", "eu-organic-so2-red-dry"));
}

TEST(LimitsTest, WhatIsNotKnownOfAWineIsSaid) {
  WineClass wine = Still(v1::COLOUR_RED, 0);
  wine.sugar_ug_l.reset();
  const LimitsFound found = LimitsFor({"GB"}, v1::SUBSTANCE_TOTAL_SO2, wine);
  EXPECT_THAT(found.applying, IsEmpty());
  ASSERT_THAT(Ids(found.possible),
              ElementsAre("gb-so2-red-dry", "gb-so2-red-sweet", "gb-so2-named-300",
                          "gb-so2-named-350", "gb-so2-named-400"));
  EXPECT_THAT(found.possible[0].missing, ElementsAre(Missing::kSugar));
  EXPECT_THAT(found.possible[2].missing, ElementsAre(Missing::kSugar, Missing::kSpecialClass));
  const LimitsFound blank = LimitsFor({"US"}, v1::SUBSTANCE_VOLATILE_ACIDITY, {});
  ASSERT_FALSE(blank.possible.empty());
  EXPECT_THAT(blank.possible[0].missing, ElementsAre(Missing::kColour, Missing::kFruit));
}

TEST(LimitsTest, ANamedClassTakesThePlaceOfTheCeilingOnlyOnceItIsNamed) {
  WineClass wine = Still(v1::COLOUR_WHITE, 60);
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-so2-white-sweet"));
  EXPECT_THAT(Ids(LimitsFor({"EU"}, v1::SUBSTANCE_TOTAL_SO2, wine).possible),
              ElementsAre("eu-so2-named-300", "eu-so2-named-350", "eu-so2-named-400"));
  wine.special = {"named-class-350"};
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-so2-named-350"));
  // A name does not lift a wine out of its other traits.
  wine.sugar_ug_l = 3'000'000;
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-so2-white-dry"));
}

TEST(LimitsTest, FruitWineIsNotMeasuredByTheRulesForGrapes) {
  WineClass wine = Still(v1::COLOUR_RED, 2);
  wine.fruit = v1::FRUIT_OTHER;
  EXPECT_THAT(Ceilings("EU", wine), ElementsAre("eu-fruit-so2"));
  EXPECT_THAT(Ceilings("OIV", wine), IsEmpty());
  EXPECT_THAT(Ceilings("US", wine), ElementsAre("us-so2"));
  const LimitsFound canada = LimitsFor({"CA"}, v1::SUBSTANCE_FREE_SO2, wine);
  EXPECT_THAT(Ids(canada.applying), ElementsAre("ca-free-so2"));
}

TEST(LimitsTest, SeveralJurisdictionsAnswerTogetherAndSilenceIsSaid) {
  const WineClass wine = Still(v1::COLOUR_RED, 2);
  const LimitsFound found =
      LimitsFor({"OIV", "NZ", "EU", "XX", "XX"}, v1::SUBSTANCE_SORBIC_ACID, wine);
  EXPECT_THAT(Ids(found.applying), ElementsAre("eu-sorbic-acid", "oiv-sorbic-acid"));
  EXPECT_THAT(found.silent, ElementsAre("NZ", "XX"));
  EXPECT_THAT(LimitsFor({}, v1::SUBSTANCE_COPPER, wine).applying, IsEmpty());
}

TEST(LimitsTest, AFigureIsCrossedWhereTheTextSaysSo) {
  const Limit& ceiling = *FindLimit("eu-so2-red-dry");
  EXPECT_FALSE(Crosses(ceiling, 150'000));
  EXPECT_TRUE(Crosses(ceiling, 150'001));
  const Limit& less_than = *FindLimit("oiv-plant-protein");
  EXPECT_TRUE(Crosses(less_than, 500'000));
  EXPECT_FALSE(Crosses(less_than, 499'999));
  const Limit& from = *FindLimit("us-sulfite-statement");
  EXPECT_TRUE(Crosses(from, 10'000));
  EXPECT_FALSE(Crosses(from, 9'999));
  const Limit& more_than = *FindLimit("eu-sulfite-statement");
  EXPECT_FALSE(Crosses(more_than, 10'000));
  EXPECT_TRUE(Crosses(more_than, 10'001));
  const Limit& floor = *FindLimit("us-ph-after-tartaric");
  EXPECT_FALSE(Crosses(floor, 3000));
  EXPECT_TRUE(Crosses(floor, 2999));
  EXPECT_TRUE(Crosses(*FindLimit("eu-water"), 1));
  EXPECT_FALSE(Crosses(*FindLimit("eu-water"), 0));
  EXPECT_FALSE(Crosses(*FindLimit("eu-bentonite"), 1'000'000'000));
  EXPECT_FALSE(Crosses(*FindLimit("eu-so2-raise"), 1'000'000'000));
}

TEST(LimitsTest, AQuoteNamesTheWineTheTextAndHowFarToTrustIt) {
  EXPECT_EQ(
      QuoteLine(*FindLimit("gb-so2-white-dry")),
      "GB, rosé or white, under 5 g/L sugar, still, of grapes: at most 200 mg/L of total sulfur "
      "dioxide in the wine; on release to the market for direct consumption; sugar is glucose "
      "and fructose (Reg (EU) 2019/934 Annex I Part B (retained/assimilated version), section A "
      "point 1(b))");
  const Quote recalled = QuoteOf(*FindLimit("eu-sorbic-acid"));
  EXPECT_EQ(recalled.caveat, "from memory: check it before you rely on it");
  const Quote older = QuoteOf(*FindLimit("us-gum-arabic"));
  EXPECT_EQ(older.name, "US, any wine");
  EXPECT_EQ(older.figure, "at most 240 mg/L of gum arabic, added in all");
  EXPECT_EQ(older.caveat,
            "from an older edition (as amended to 23 January 2017; rewritten since); in doubt: "
            "changed in 2022");
  EXPECT_EQ(
      QuoteOf(*FindLimit("eu-ammonium-salts")).figure,
      "at most 1 g/L of ammonium phosphate, ammonium sulfate together (as the salts), added in "
      "all");
  EXPECT_EQ(QuoteOf(*FindLimit("ca-free-so2")).name,
            "CA, of grapes, pome fruit, citrus or other fruit");
  EXPECT_EQ(QuoteOf(*FindLimit("us-copper")).figure, "at most 0.5 mg/L of copper in the wine");
  EXPECT_EQ(QuoteOf(*FindLimit("us-copper-sulfate")).figure,
            "at most 6 mg/L of copper sulfate (as copper), added in all");
  EXPECT_EQ(QuoteOf(*FindLimit("us-ph-after-tartaric")).figure, "at least pH 3");
  EXPECT_EQ(QuoteOf(*FindLimit("eu-sulfite-statement")).figure,
            "the label owes a statement above 10 mg/L of total sulfur dioxide in the wine");
}

TEST(LimitsTest, NothingButWhatWasReadInForceGoesWithoutACaveat) {
  for (const Limit& limit : AllLimits()) {
    const bool sure =
        limit.source.mark == v1::MARK_READ && limit.doubt.empty() && limit.source.seen.empty();
    EXPECT_EQ(QuoteOf(limit).caveat.empty(), sure) << limit.id;
    if (limit.source.mark == v1::MARK_MEMORY) {
      EXPECT_THAT(QuoteOf(limit).caveat, ::testing::StartsWith("from memory")) << limit.id;
    }
  }
}

TEST(LimitsTest, FiguresAreShownExactly) {
  EXPECT_EQ(FigureText(240'000, v1::UNIT_UG_PER_L), "240 mg/L");
  EXPECT_EQ(FigureText(3'590'000, v1::UNIT_UG_PER_L), "3.59 g/L");
  EXPECT_EQ(FigureText(10, v1::UNIT_UG_PER_L), "0.01 mg/L");
  EXPECT_EQ(FigureText(2, v1::UNIT_UG_PER_L), "2 ug/L");
  EXPECT_EQ(FigureText(250'000, v1::UNIT_UG_PER_KG), "250 mg/kg");
  EXPECT_EQ(FigureText(18'000, v1::UNIT_UEQ_PER_L), "18 meq/L");
  EXPECT_EQ(FigureText(1500, v1::UNIT_PPM_VOLUME), "0.15 % of the volume");
  EXPECT_EQ(FigureText(115'000, v1::UNIT_PPM_ALCOHOL), "11.5 % vol");
  EXPECT_EQ(FigureText(25'000, v1::UNIT_MILLIBRIX), "25 Brix");
  EXPECT_EQ(FigureText(0, v1::UNIT_UNSPECIFIED), "");
}

}  // namespace
}  // namespace rundlet::rules

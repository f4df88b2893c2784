// Goal: an answer about an addition says what to measure out, refuses a dose of nothing, and
// neither fills up nor closes what still ferments. Method: one call of each, read for its words.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "absl/strings/match.h"
#include "core/oenology/answers/acids_answer.h"
#include "core/oenology/answers/adjust_answer.h"
#include "core/oenology/answers/blend_answer.h"
#include "core/oenology/answers/fining_answer.h"
#include "core/oenology/answers/yeast_answer.h"

namespace rundlet::oenology {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

TEST(DoseWordsTest, TheFirstFigureNamesWhatToMeasureOut) {
  EXPECT_EQ(AnswerSpirit(100, 12, 96, 18)->figures[0].label, "to add: spirit of 96.0 % vol");
  EXPECT_EQ(AnswerSpirit(100, 14, 11, 13)->figures[0].label, "to add: wine of 11.0 % vol");
  EXPECT_EQ(AnswerSpirit(100, 14, 0, 13)->figures[0].label, "to add: water");
  EXPECT_EQ(AnswerBenchTrial({5, 1, 100}, 20, Fining::kPvpp)->figures[0].label, "to add: PVPP");
  EXPECT_EQ(AnswerBenchTrial({5, 1, 100}, 20, std::nullopt)->figures[0].label,
            "to add: what the stock was made of");
  for (const auto& made : {AnswerMakeUpToVolume(5, 68, 23), AnswerMakeUpToBrix(23, 22, 68)}) {
    ASSERT_TRUE(made.ok()) << made.status();
    EXPECT_EQ(made->figures[0].label, "to measure out: concentrate");
    EXPECT_EQ(made->figures[1].label, "to measure out: water");
  }
}

TEST(DoseWordsTest, ADoseOfNothingIsRefused) {
  for (const absl::Status& refused :
       {AnswerFining({.volume_l = 20, .dose_mg_l = 0}).status(),
        AnswerTwoPartFining({.volume_l = 20, .silica_mg_l = 0, .second_mg_l = 100}).status(),
        AnswerTwoPartFining({.volume_l = 20, .silica_mg_l = 100, .second_mg_l = 0}).status(),
        AnswerBenchTrial({5, 0, 100}, 20, std::nullopt).status(),
        AnswerCopper({.volume_l = 20, .copper_mg_l = 0}).status(),
        AnswerAcidDose(Acid::kTartaric, {.volume_l = 20, .change_g_l = 0}).status(),
        AnswerAcidDose(Acid::kTartaric, {.volume_l = 20, .ta_g_l = 6, .target_ta_g_l = 6}).status(),
        AnswerCarbonateDose(Carbonate::kCalciumCarbonate, {.volume_l = 20, .change_g_l = 0})
            .status(),
        AnswerSugar(20, 22, 22).status(), AnswerSugarForAlcohol(20, 12, 0, 17).status()}) {
    EXPECT_FALSE(refused.ok());
    EXPECT_THAT(std::string(refused.message()), HasSubstr("nothing to add"));
  }
}

TEST(DoseWordsTest, ATitrationSpeaksOfItsLyeAlone) {
  const auto titration = AnswerTitration(10.4, 0.1, 10);
  ASSERT_TRUE(titration.ok());
  EXPECT_THAT(titration->cautions, ElementsAre(Caution::kLye));
  EXPECT_THAT(std::string(CautionText(Caution::kLye)), Not(HasSubstr("foam")));
  EXPECT_THAT(std::string(CautionText(Caution::kAlkali)), HasSubstr("foam"));
}

TEST(DoseWordsTest, CopperIsNeverGuessedUpward) {
  EXPECT_THAT(std::string(AnswerCopper({.volume_l = 20, .copper_mg_l = 0.01}).status().message()),
              Not(HasSubstr("meant")));
}

ToppingWine Wine(const char* name, double volume_l, std::optional<double> gravity) {
  return {name, "24R", "red", volume_l, 13.0, 1.0, gravity};
}

TEST(ToppingWordsTest, WhatFermentsIsNoCandidate) {
  const auto answer = AnswerTopping(20, Wine("vessel 3", 19, 0.994),
                                    {Wine("cask", 30, 1.020), Wine("jug", 5, 0.995)});
  ASSERT_TRUE(answer.ok());
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("cask stands at 1.0200")));
  for (const Figure& figure : answer->figures) EXPECT_THAT(figure.label, Not(HasSubstr("cask")));
  EXPECT_EQ(answer->figures[1].label, "from jug");
  // At 1.000 and below, and where nobody has read it, it may serve.
  EXPECT_FALSE(LikelyFermenting(Wine("jug", 5, 1.000)));
  EXPECT_FALSE(LikelyFermenting(Wine("jug", 5, std::nullopt)));
  EXPECT_FALSE(LikelyFermenting(Wine("jug", 5, std::nan(""))));
}

TEST(ToppingWordsTest, WhatFermentsIsNotFilledToTheBrim) {
  const auto answer = AnswerTopping(20, Wine("vessel 3", 19, 1.015), {Wine("jug", 5, 0.995)});
  ASSERT_TRUE(answer.ok());
  ASSERT_EQ(answer->figures.size(), 1u);
  EXPECT_EQ(answer->figures[0].label, "headspace, to be left");
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("do not fill it to the brim")));
  EXPECT_THAT(answer->cautions, Contains(Caution::kPressure));
  // Nor when it is full already.
  EXPECT_THAT(AnswerTopping(20, Wine("vessel 3", 20, 1.015), {})->warnings,
              Contains(HasSubstr("do not fill it to the brim")));
}

TEST(YeastWordsTest, HighSugarAsksForMoreYeast) {
  const auto grams = [](std::optional<double> rate, std::optional<double> brix) {
    return AnswerYeast(100, rate, brix)->figures[0].value;
  };
  EXPECT_NEAR(grams({}, {}), 25, 1e-9);
  EXPECT_NEAR(grams({}, 22), 25, 1e-9);
  EXPECT_NEAR(grams({}, 27.5), 37.5, 1e-9);
  EXPECT_NEAR(grams({}, 35), 50, 1e-9);
  EXPECT_NEAR(grams(30, 35), 30, 1e-9);
  EXPECT_THAT(AnswerYeast(100, 30, 35)->warnings, Contains(HasSubstr("wants 50 g/hL")));
  EXPECT_THAT(AnswerYeast(100, 60, 35)->warnings, Not(Contains(HasSubstr("wants"))));
  EXPECT_THAT(AnswerYeast(100, {}, 28)->equations, Contains(&kYeastForSugar));
  EXPECT_EQ(kYeastForSugar.standing, Standing::kDerived) << "where it begins is our own choice";
  EXPECT_FALSE(AnswerYeast(100, {}, 220).ok());
}

}  // namespace
}  // namespace rundlet::oenology

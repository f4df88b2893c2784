// Goal: answers about additions carry amount, working, assumptions, cautions and sources, count
// what was there before, warn where they should, and never show what is no number. Method: worked
// examples with invented wines; then every answer with hostile numbers in every place.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "core/oenology/answers/acids_answer.h"
#include "core/oenology/answers/adjust_answer.h"
#include "core/oenology/answers/blend_answer.h"
#include "core/oenology/answers/fining_answer.h"
#include "core/oenology/answers/sorbate_answer.h"
#include "core/oenology/answers/sulfite_answer.h"
#include "core/oenology/answers/sulfite_dose_answer.h"
#include "core/oenology/answers/yeast_answer.h"

namespace rundlet::oenology {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

double Value(const Answer& answer, absl::string_view label) {
  for (const Figure& figure : answer.figures) {
    if (figure.label == label) return figure.value;
  }
  ADD_FAILURE() << "no figure " << label;
  return std::numeric_limits<double>::quiet_NaN();
}

TEST(SulfiteAnswerTest, ADoseCountsWhatIsBoundAndWhatIsThere) {
  const auto answer = AnswerSulfiteDose({.volume_l = 54,
                                         .free_mg_l = 12,
                                         .total_mg_l = 60,
                                         .target_free_mg_l = 30,
                                         .free_share = 0.6,
                                         .ceilings = {{"a house rule", 85}, {"a law", 150}}});
  ASSERT_TRUE(answer.ok()) << answer.status();
  // 18 mg/L more free, 30 mg/L added, 54 L, 0.5763.
  EXPECT_NEAR(Value(*answer, "to add: potassium metabisulfite"), 30 * 54 / 576.34, 0.001);
  EXPECT_NEAR(Value(*answer, "free SO2 to expect"), 30, 1e-9);
  EXPECT_NEAR(Value(*answer, "total SO2 then"), 90, 1e-9);
  EXPECT_NEAR(Value(*answer, "room under a house rule (85 mg/L)"), -5, 1e-9);
  EXPECT_NEAR(Value(*answer, "room under a law (150 mg/L)"), 60, 1e-9);
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("would be above a house rule")));
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("teaspoons")));
  EXPECT_THAT(answer->cautions, Contains(Caution::kSulfurDioxide));
  EXPECT_THAT(answer->cautions, Contains(Caution::kLegalCeiling));
  EXPECT_THAT(answer->equations, Contains(&kSulfiteFreeShare));
}

TEST(SulfiteAnswerTest, AMolecularTargetNeedsThePhAndUsesIt) {
  SulfiteDoseAsked asked{.volume_l = 23, .free_mg_l = 5, .target_molecular_mg_l = 0.6};
  EXPECT_EQ(AnswerSulfiteDose(asked).status().code(), absl::StatusCode::kInvalidArgument);
  asked.wine = SulfiteWine{.ph = 3.4, .temperature_c = 20, .alcohol_pct = 10};
  const auto answer = AnswerSulfiteDose(asked);
  ASSERT_TRUE(answer.ok()) << answer.status();
  // Dosed by the constant that protects most: by that one the target is met and no more.
  EXPECT_NEAR(Value(*answer, "at the lowest, by the older constant of water, 1.81"), 0.6, 1e-9);
  EXPECT_GT(Value(*answer, "molecular SO2 to expect"), 0.6);
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("not known")));
  asked.target_free_mg_l = 30;
  EXPECT_EQ(AnswerSulfiteDose(asked).status().code(), absl::StatusCode::kInvalidArgument);
}

TEST(SulfiteAnswerTest, NothingToAddIsSaid) {
  const auto answer = AnswerSulfiteDose({.volume_l = 54, .free_mg_l = 35, .target_free_mg_l = 30});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_EQ(Value(*answer, "to add: potassium metabisulfite"), 0);
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("nothing to add")));
}

TEST(SulfiteAnswerTest, ADoseGivenDoesWhatADoseAskedForSays) {
  for (const SulfiteForm form :
       {SulfiteForm::kPowder, SulfiteForm::kSolution, SulfiteForm::kTablets}) {
    const SulfiteMaterial material{SulfiteSalt::kSodiumMetabisulfite, form, 0, 5, 0.44};
    const auto dose = AnswerSulfiteDose({.volume_l = 54,
                                         .free_mg_l = 10,
                                         .total_mg_l = 40,
                                         .target_free_mg_l = 30,
                                         .material = material});
    ASSERT_TRUE(dose.ok()) << dose.status();
    const auto given = AnswerSulfiteGiven({.volume_l = 54,
                                           .amount = dose->figures[0].value,
                                           .free_mg_l = 10,
                                           .total_mg_l = 40,
                                           .material = material});
    ASSERT_TRUE(given.ok()) << given.status();
    EXPECT_NEAR(Value(*given, "free SO2 to expect"), 30, 1e-9);
    EXPECT_NEAR(Value(*given, "total SO2 then"), Value(*dose, "total SO2 then"), 1e-9);
  }
}

TEST(SulfiteAnswerTest, LossIsCountedOnlyWhereItIsGiven) {
  SulfiteGivenAsked asked{.volume_l = 100, .amount = 8.68, .free_mg_l = 0, .months = 3};
  EXPECT_THAT(AnswerSulfiteGiven(asked)->assumptions, Contains(HasSubstr("nothing was lost")));
  asked.loss_mg_l_month = 4;
  EXPECT_NEAR(Value(*AnswerSulfiteGiven(asked), "free SO2 to expect"), 50.02 * 0.6 - 12, 0.05);
  asked.loss_mg_l_month = 40;
  EXPECT_EQ(Value(*AnswerSulfiteGiven(asked), "free SO2 to expect"), 0);
}

TEST(SulfiteAnswerTest, ReadingsThatCannotBeAreRefused) {
  const auto answer = AnswerSulfiteDose(
      {.volume_l = 54, .free_mg_l = 40, .total_mg_l = 30, .target_free_mg_l = 50});
  EXPECT_THAT(std::string(answer.status().message()), HasSubstr("check the two readings"));
  EXPECT_THAT(std::string(AnswerMolecularSo2(30, {.ph = 35}).status().message()),
              HasSubstr("was 3.5 meant?"));
}

TEST(AcidsAnswerTest, UpAndDown) {
  const auto up = AnswerAcidDose(Acid::kTartaric,
                                 {.volume_l = 100, .ta_g_l = 5.0, .target_ta_g_l = 6.5, .ph = 3.7});
  ASSERT_TRUE(up.ok()) << up.status();
  EXPECT_NEAR(Value(*up, "to add: tartaric acid"), 150, 1e-9);
  EXPECT_LT(Value(*up, "pH then, a rough guess"), 3.65);
  EXPECT_THAT(up->cautions, Contains(Caution::kAcid));
  EXPECT_THAT(up->warnings, Contains(HasSubstr("bench trial")));
  const auto down = AnswerCarbonateDose(Carbonate::kPotassiumBicarbonate,
                                        {.volume_l = 100, .ta_g_l = 9, .target_ta_g_l = 7.5});
  ASSERT_TRUE(down.ok()) << down.status();
  EXPECT_NEAR(Value(*down, "to add: potassium bicarbonate"), 100.06, 0.1);
  EXPECT_NEAR(Value(*down, "if no bitartrate fell out, it would take"), 200.1, 0.2);
  EXPECT_THAT(down->cautions, Contains(Caution::kAlkali));
  // The wrong way round.
  EXPECT_FALSE(AnswerAcidDose(Acid::kMalic, {.volume_l = 9, .ta_g_l = 7, .target_ta_g_l = 6}).ok());
}

TEST(AcidsAnswerTest, APhThatWouldMoveFarIsNotGuessed) {
  const auto answer = AnswerAcidDose(Acid::kTartaric, {.volume_l = 10, .change_g_l = 8, .ph = 3.9});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("too far to guess")));
  for (const Figure& figure : answer->figures) EXPECT_THAT(figure.label, Not(HasSubstr("pH")));
}

TEST(SorbateAnswerTest, NeverAloneAndNeverWithBacteria) {
  const auto answer = AnswerSorbate(
      {.volume_l = 23, .alcohol_pct = 12, .ph = 3.3, .free_mg_l = 8, .ceilings = {{"a law", 200}}});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "to add: potassium sorbate"), 120 * 23 / 1000.0, 1e-9);
  EXPECT_NEAR(Value(*answer, "room under a law (200 mg/L)"), 200 - 120 * 0.7464, 0.01);
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("never sorbate alone")));
  EXPECT_THAT(answer->warnings, Contains(HasSubstr("geraniums")));
  EXPECT_THAT(answer->cautions, Contains(Caution::kPressure));
  // What is there already is not added again.
  const auto again =
      AnswerSorbate({.volume_l = 23, .alcohol_pct = 12, .ph = 3.3, .sorbic_mg_l = 150});
  EXPECT_EQ(Value(*again, "to add: potassium sorbate"), 0);
}

TEST(FiningAnswerTest, RangesAreHeldAndBentoniteGetsItsWater) {
  const auto usual = AnswerFining({.volume_l = 100, .dose_mg_l = 400});
  ASSERT_TRUE(usual.ok()) << usual.status();
  EXPECT_NEAR(Value(*usual, "to add: bentonite"), 40, 1e-9);
  EXPECT_NEAR(Value(*usual, "water to swell it in"), 666.7, 0.1);
  EXPECT_THAT(usual->warnings, Not(Contains(HasSubstr("usual"))));
  EXPECT_THAT(AnswerFining({.volume_l = 100, .dose_mg_l = 1000})->warnings,
              Contains(HasSubstr("more than the usual 500")));
  EXPECT_THAT(
      AnswerFining({.fining = Fining::kIsinglass, .volume_l = 100, .dose_mg_l = 5})->warnings,
      Contains(HasSubstr("less than the usual 10")));
  EXPECT_THAT(
      AnswerFining({.fining = Fining::kEggAlbumin, .volume_l = 9, .dose_mg_l = 80})->cautions,
      Contains(Caution::kAllergen));
}

TEST(FiningAnswerTest, TwoPartsEachInItsRange) {
  const TwoPartAsked asked{
      .volume_l = 23, .silica_mg_l = 150, .second = Fining::kChitosan, .second_mg_l = 200};
  const auto answer = AnswerTwoPartFining(asked);
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "first, as sol of 30 % w/w"), 150 * 23 / (300 * 1.204), 0.01);
  EXPECT_NEAR(Value(*answer, "second, as stock of 1.00 % w/v"), 460, 1e-6);
  EXPECT_THAT(answer->cautions, Contains(Caution::kAllergen));
  TwoPartAsked strong = asked;
  strong.silica_mg_l = 900;
  EXPECT_THAT(AnswerTwoPartFining(strong)->warnings,
              Contains(HasSubstr("more than the usual 300")));
  TwoPartAsked odd = asked;
  odd.second = Fining::kPvpp;
  EXPECT_FALSE(AnswerTwoPartFining(odd).ok());
}

TEST(FiningAnswerTest, CopperKnowsItsCeiling) {
  const auto answer = AnswerCopper(
      {.volume_l = 54, .copper_mg_l = 0.4, .copper_now_mg_l = 0.3, .ceilings = {{"a law", 0.5}}});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "copper sulfate pentahydrate in it"), 0.4 * 54 / 0.2545, 0.1);
  EXPECT_NEAR(Value(*answer, "room under a law (0.50 mg/L)"), -0.2, 1e-9);
  EXPECT_THAT(answer->cautions, Contains(Caution::kCopper));
}

TEST(AdjustAnswerTest, TheSquareStandsBesideTheMass) {
  const auto answer = AnswerSpirit(100, 12, 96, 18);
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "by the Pearson square, which leaves shrinkage out"), 7.692, 0.001);
  EXPECT_LT(Value(*answer, "to add: spirit of 96.0 % vol"), 7.7);
  EXPECT_THAT(answer->cautions, Contains(Caution::kFlammable));
  EXPECT_THAT(AnswerSugar(100, 20, 23)->cautions, Contains(Caution::kPressure));
}

TEST(YeastAnswerTest, NutrientByBrixAndNitrogen) {
  const auto answer = AnswerNutrient({.volume_l = 100, .yan_mg_l = 150, .brix = 23});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "to add: diammonium phosphate"), 100 * 100 / 212.1, 0.05);
  EXPECT_THAT(AnswerNutrient({.volume_l = 100, .yan_mg_l = 300, .brix = 21})->warnings,
              Contains(HasSubstr("nothing to add")));
  EXPECT_FALSE(AnswerNutrient({.volume_l = 100, .yan_mg_l = 100}).ok());
  EXPECT_NEAR(Value(*AnswerYeast(100, 25), "to add: dried yeast"), 25, 1e-9);
}

std::vector<BlendGoal> Goals() {
  return {{.name = "alcohol", .unit = "% vol", .target = 13},
          {.name = "acidity", .unit = "g/L", .low = 5}};
}
std::vector<BlendWine> Wines() {
  return {{"North Slope", 60, 0, 0, {12.0, 7.0}}, {"Old Wall", 40, 0, 0, {14.0, 5.0}}};
}

TEST(BlendAnswerTest, ValuesAndVolumes) {
  const auto values = AnswerBlendValues(Wines(), Goals());
  ASSERT_TRUE(values.ok()) << values.status();
  EXPECT_NEAR(Value(*values, "alcohol"), 12.8, 1e-9);
  EXPECT_NEAR(Value(*values, "acidity"), 6.2, 1e-9);
  EXPECT_THAT(values->warnings, Contains(HasSubstr("misses its target of 13.0 % vol")));
  EXPECT_THAT(values->warnings, Contains(HasSubstr("pH cannot be averaged")));
  const auto found = AnswerBlend({.volume_l = 60, .wines = Wines(), .goals = Goals()});
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_NEAR(Value(*found, "of North Slope"), 30, 1e-4);
  EXPECT_NEAR(Value(*found, "alcohol, by mass"), 13, 0.01);
}

TEST(BlendAnswerTest, AMissingReadingIsNamedNotAssumed) {
  std::vector<BlendWine> wines = Wines();
  wines[1].values[1].reset();
  const auto values = AnswerBlendValues(wines, Goals());
  ASSERT_TRUE(values.ok()) << values.status();
  EXPECT_THAT(values->warnings, Contains(HasSubstr("Old Wall has no reading of acidity")));
  for (const Figure& figure : values->figures) EXPECT_NE(figure.label, "acidity");
}

TEST(BlendAnswerTest, ToppingNamesTheWines) {
  const auto answer =
      AnswerTopping(20, {"vessel 3", "24R", "red", 19.25, 13.5, 1.0},
                    {{"jug", "24R", "red", 0.5, {}, {}}, {"cask", "23R", "red", 30, 12.5, 1.0}});
  ASSERT_TRUE(answer.ok()) << answer.status();
  EXPECT_NEAR(Value(*answer, "missing to the brim"), 0.75, 1e-9);
  EXPECT_NEAR(Value(*answer, "from jug, which has no more"), 0.5, 1e-9);
  EXPECT_NEAR(Value(*answer, "from cask (other lot; 1.0 % vol weaker)"), 0.75, 1e-9);
}

// Each takes a number in one place and gives an answer.
using Asking = std::function<absl::StatusOr<Answer>(double)>;

std::vector<Asking> Askings() {
  const SulfiteWine wine{.ph = 3.4, .temperature_c = 15, .alcohol_pct = 13};
  return {
      [](double x) { return AnswerMolecularSo2(x, {.ph = 3.4}); },
      [](double x) { return AnswerMolecularSo2(30, {.ph = x}); },
      [](double x) { return AnswerMolecularSo2(30, {.ph = 3.4, .temperature_c = x}); },
      [](double x) { return AnswerMolecularSo2(30, {.ph = 3.4, .pk = x}); },
      [](double x) { return AnswerFreeForMolecular(x, {.ph = 3.4}); },
      [=](double x) {
        return AnswerSulfiteDose(
            {.volume_l = x, .free_mg_l = 10, .wine = wine, .target_free_mg_l = 30});
      },
      [](double x) {
        return AnswerSulfiteDose({.volume_l = 20, .free_mg_l = x, .target_free_mg_l = 30});
      },
      [](double x) {
        return AnswerSulfiteDose({.volume_l = 20, .free_mg_l = 10, .target_free_mg_l = x});
      },
      [=](double x) {
        return AnswerSulfiteDose(
            {.volume_l = 20, .free_mg_l = 10, .wine = wine, .target_molecular_mg_l = x});
      },
      [](double x) {
        return AnswerSulfiteDose({.volume_l = 20,
                                  .free_mg_l = 10,
                                  .target_free_mg_l = 30,
                                  .free_share = x,
                                  .ceilings = {{"odd", x}}});
      },
      [](double x) {
        return AnswerSulfiteDose(
            {.volume_l = 20, .free_mg_l = 10, .target_free_mg_l = 30, .ceilings = {{"odd", x}}});
      },
      [](double x) { return AnswerSulfiteGiven({.volume_l = 20, .amount = x}); },
      [](double x) {
        return AnswerSulfiteGiven({.volume_l = 20, .amount = 1, .months = x, .loss_mg_l_month = 3});
      },
      [](double x) { return AnswerAcidity(x, Acid::kMalic); },
      [](double x) { return AnswerTitration(x, 0.1, 5); },
      [](double x) { return AnswerAcidDose(Acid::kLactic, {.volume_l = 20, .change_g_l = x}); },
      [](double x) {
        return AnswerAcidDose(Acid::kTartaric, {.volume_l = 20, .change_g_l = 1, .ph = x});
      },
      [](double x) {
        return AnswerCarbonateDose(Carbonate::kCalciumCarbonate,
                                   {.volume_l = 20, .change_g_l = x, .ph = 3.2});
      },
      [](double x) { return AnswerSorbate({.volume_l = 20, .alcohol_pct = x, .ph = 3.3}); },
      [](double x) { return AnswerSorbate({.volume_l = 20, .alcohol_pct = 12, .ph = x}); },
      [](double x) { return AnswerFining({.volume_l = 20, .dose_mg_l = x}); },
      [](double x) { return AnswerFining({.volume_l = 20, .dose_mg_l = 300, .slurry_pct = x}); },
      [](double x) {
        return AnswerFining(
            {.fining = Fining::kGelatineRed, .volume_l = 20, .dose_mg_l = 100, .stock_pct_wv = x});
      },
      [](double x) { return AnswerTwoPartFining({.volume_l = 20, .silica_mg_l = x}); },
      [](double x) {
        return AnswerBenchTrial({5, x, 100}, 20, Fining::kPvpp);
      },
      [](double x) { return AnswerCopper({.volume_l = 20, .copper_mg_l = x}); },
      [](double x) { return AnswerSugar(20, 18, x); },
      [](double x) { return AnswerSugarForAlcohol(20, x, 2, 17); },
      [](double x) { return AnswerConcentrate(20, 18, 22, x); },
      [](double x) { return AnswerWater(20, x, 22); },
      [](double x) { return AnswerMakeUpToVolume(10, 68, x); },
      [](double x) { return AnswerMakeUpToBrix(23, x, 68); },
      [](double x) { return AnswerSpirit(20, 12, 96, x); },
      [](double x) { return AnswerNutrient({.volume_l = 20, .yan_mg_l = x, .brix = 24}); },
      [](double x) { return AnswerYeast(x, 25); },
      [](double x) { return AnswerBlend({.volume_l = x, .wines = Wines(), .goals = Goals()}); },
      [](double x) {
        std::vector<BlendWine> wines = Wines();
        wines[0].available_l = x;
        return AnswerBlendValues(wines, Goals());
      },
      [](double x) {
        std::vector<BlendWine> wines = Wines();
        wines[0].values[0] = x;
        return AnswerBlendValues(wines, Goals());
      },
      [](double x) {
        return AnswerTopping(20, {"vessel 3", "24R", "red", x, 13.5, x},
                             {{"jug", "", "red", x, x, x}, {"cask", "23R", "red", 30, 12, 1}});
      },
  };
}

TEST(HostileTest, NoAnswerShowsWhatIsNoNumber) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  constexpr double kInf = std::numeric_limits<double>::infinity();
  const std::vector<Asking> askings = Askings();
  int answered = 0;
  for (size_t i = 0; i < askings.size(); ++i) {
    for (const double x : {0.0,  -0.0, -1.0, -1e308, 1e-310, 1e-9, 0.3,   1.0,  3.4,  12.0, 19.0,
                           20.0, 35.0, 68.0, 300.0,  1e5,    1e6,  1e308, kNan, kInf, -kInf}) {
      const absl::StatusOr<Answer> answer = askings[i](x);
      if (!answer.ok()) {
        EXPECT_FALSE(answer.status().message().empty());
        EXPECT_NE(answer.status().code(), absl::StatusCode::kInternal) << i << " " << x;
        continue;
      }
      ++answered;
      EXPECT_FALSE(answer->equations.empty()) << i;
      EXPECT_FALSE(answer->figures.empty()) << i;
      for (const Figure& figure : answer->figures) {
        EXPECT_TRUE(std::isfinite(figure.value)) << i << " " << x << " " << figure.label;
        EXPECT_TRUE(std::isfinite(figure.error)) << i << " " << x << " " << figure.label;
      }
      for (const std::string& step : answer->working) {
        EXPECT_THAT(step, Not(HasSubstr("nan"))) << i << " " << x;
        EXPECT_THAT(step, Not(HasSubstr("inf"))) << i << " " << x;
      }
    }
  }
  EXPECT_GT(answered, 100);
}

}  // namespace
}  // namespace rundlet::oenology

// Goal: where sources disagree on molecular SO2 the figures show it, a dose never rests silently on
// the constant that protects least, and alcohol that nobody gave is warned of. Method: figures
// against the formula by hand; every constant in use must lie inside the error shown, over a grid.
#include "core/oenology/answers/sulfite_answer.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "absl/strings/match.h"
#include "core/oenology/answers/sulfite_dose_answer.h"

namespace rundlet::oenology {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

const Figure& FigureOf(const Answer& answer, absl::string_view label) {
  static const Figure none{.value = std::nan("")};
  for (const Figure& figure : answer.figures) {
    if (absl::StartsWith(figure.label, label)) return figure;
  }
  ADD_FAILURE() << "no figure " << label;
  return none;
}

TEST(MolecularSo2AnswerTest, TheErrorCoversEveryConstantInUse) {
  for (double ph = 2.9; ph <= 4.0; ph += 0.1) {
    for (const double temperature_c : {12.0, 20.0, 25.0, 30.0}) {
      for (const double alcohol_pct : {0.0, 5.0, 12.0, 15.0}) {
        const SulfiteWine wine{
            .ph = ph, .temperature_c = temperature_c, .alcohol_pct = alcohol_pct};
        const Answer there = *AnswerMolecularSo2(30, wine);
        const Answer needed = *AnswerFreeForMolecular(0.6, wine);
        const double table = Pk1OfSo2(temperature_c, alcohol_pct)->pk;
        for (const double pk : {kPkInWater, table, table - kPkLessForIons}) {
          EXPECT_LE(std::fabs(*MolecularSo2(30, ph, pk) - there.figures[0].value),
                    there.figures[0].error + 1e-9)
              << ph << " " << temperature_c << " " << alcohol_pct << " " << pk;
          EXPECT_LE(std::fabs(*FreeForMolecularSo2(0.6, ph, pk) - needed.figures[0].value),
                    needed.figures[0].error + 1e-9);
          EXPECT_LE(*FreeForMolecularSo2(0.6, ph, pk), needed.figures[0].value + 1e-9)
              << "the figure to go by protects the most";
        }
      }
    }
  }
}

TEST(MolecularSo2AnswerTest, AllConstantsStandInTheFigures) {
  const SulfiteWine wine{.ph = 3.4, .temperature_c = 20, .alcohol_pct = 12};
  const Answer there = *AnswerMolecularSo2(30, wine);
  EXPECT_NEAR(FigureOf(there, "molecular SO2").value, 1.05, 0.01);
  EXPECT_NEAR(FigureOf(there, "at the lowest, by the older constant of water").value, 0.75, 0.01);
  EXPECT_NEAR(FigureOf(there, "at the highest, by the OIV table").value, 1.25, 0.01);
  const Answer needed = *AnswerFreeForMolecular(0.8, wine);
  EXPECT_NEAR(FigureOf(needed, "free SO2 needed, by the older constant of water").value, 31.9, 0.1);
  EXPECT_NEAR(FigureOf(needed, "by the OIV method").value, 23.0, 0.1);
  EXPECT_NEAR(FigureOf(needed, "by the OIV table as it stands").value, 19.2, 0.1);
  // One's own constant leaves nothing to disagree on but the pH.
  const Answer own = *AnswerFreeForMolecular(0.8, {.ph = 3.4, .pk = 1.81});
  EXPECT_EQ(own.figures.size(), 1u);
  EXPECT_NEAR(own.figures[0].error, own.figures[0].value * 0.12, 0.5);
}

TEST(MolecularSo2AnswerTest, JuiceNeedsMoreThanTheOlderTablesSay) {
  const Answer juice = *AnswerFreeForMolecular(0.8, {.ph = 3.4, .alcohol_pct = 0});
  EXPECT_NEAR(juice.figures[0].value, 0.8 * (1 + std::pow(10, 3.4 - 1.718)), 1e-9);
  EXPECT_NEAR(FigureOf(juice, "by the older constant of water, 1.81, the least").value, 31.9, 0.1);
}

TEST(MolecularSo2AnswerTest, ItStingsOnlyWhereTheMiddleIsAboveTwo) {
  const SulfiteWine wine{.ph = 3.4, .temperature_c = 20, .alcohol_pct = 12};
  const Answer below = *AnswerMolecularSo2(55, wine);  // 1.92, and 2.3 by the table as it stands
  EXPECT_GT(FigureOf(below, "at the highest").value, 2);
  EXPECT_THAT(below.warnings, Not(Contains(HasSubstr("stings"))));
  EXPECT_THAT(AnswerMolecularSo2(60, wine)->warnings, Contains(HasSubstr("stings")));
}

TEST(MolecularSo2AnswerTest, AlcoholThatNobodyGaveIsWarnedOf) {
  const Answer there = *AnswerMolecularSo2(30, {.ph = 3.4});
  EXPECT_THAT(there.warnings, Contains(HasSubstr("12 % vol was taken")));
  EXPECT_THAT(there.warnings, Contains(HasSubstr("would be 0.61 mg/L instead of 1.05")));
  EXPECT_THAT(AnswerFreeForMolecular(0.8, {.ph = 3.4})->warnings,
              Contains(HasSubstr("would need 39 mg/L of free SO2 instead of 32")));
  SulfiteDoseAsked asked{
      .volume_l = 20, .free_mg_l = 10, .wine = SulfiteWine{.ph = 3.4}, .target_free_mg_l = 30};
  EXPECT_THAT(AnswerSulfiteDose(asked)->warnings, Contains(HasSubstr("12 % vol was taken")));
  asked.target_free_mg_l.reset();
  asked.target_molecular_mg_l = 0.6;
  EXPECT_THAT(AnswerSulfiteDose(asked)->warnings, Contains(HasSubstr("12 % vol was taken")));
  // Given, or of no account, it is not spoken of.
  for (const SulfiteWine& wine :
       {SulfiteWine{.ph = 3.4, .alcohol_pct = 0}, SulfiteWine{.ph = 3.4, .pk = 1.81}}) {
    EXPECT_THAT(AnswerMolecularSo2(30, wine)->warnings, Not(Contains(HasSubstr("was taken"))));
  }
}

TEST(SulfiteDoseAnswerTest, TheLeastProtectiveStandsBesideTheDose) {
  const Answer dose =
      *AnswerSulfiteDose({.volume_l = 100,
                          .free_mg_l = 10,
                          .wine = SulfiteWine{.ph = 3.4, .temperature_c = 20, .alcohol_pct = 12},
                          .target_molecular_mg_l = 0.8});
  // (31.9 - 10) / 0.6 mg/L in 100 L, of 0.576.
  EXPECT_NEAR(dose.figures[0].value, 6.34, 0.02);
  EXPECT_NEAR(FigureOf(dose, "free SO2 to reach, by the older constant").value, 31.9, 0.1);
  EXPECT_NEAR(FigureOf(dose, "by the OIV table as it stands, 2.038, the least").value, 19.2, 0.1);
  EXPECT_NEAR(FigureOf(dose, "to add by the least protective").value, 2.66, 0.02);
}

TEST(SulfiteDoseAnswerTest, AYieldGivenAsAShareIsRecognised) {
  const auto dose = AnswerSulfiteDose(
      {.volume_l = 100, .free_mg_l = 10, .target_free_mg_l = 30, .material = {.yield = 0.005}});
  EXPECT_EQ(dose.status().message(), "SO2 yield 0.5 % is outside 30 to 70 %: was 50 meant?");
}

}  // namespace
}  // namespace rundlet::oenology

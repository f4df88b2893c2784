#include "core/oenology/answers/yeast_answer.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

absl::StatusOr<double> TargetOf(const NutrientAsked& asked, Answer& answer) {
  if (asked.target_yan_mg_l) {
    if (absl::Status bad = CheckRange("target", *asked.target_yan_mg_l, 50, 600, "mg/L");
        !bad.ok()) {
      return bad;
    }
    return *asked.target_yan_mg_l;
  }
  if (!asked.brix) {
    return absl::InvalidArgumentError("give the Brix of the must, or the nitrogen to reach");
  }
  const absl::StatusOr<YanTarget> target = YanTargetFor(*asked.brix);
  if (!target.ok()) return target.status();
  answer.Rest(kYanTarget);
  answer.Step(absl::StrCat("nitrogen that a must of ", Print(*asked.brix, 1),
                           " Brix should have = ", Print(target->yan_mg_l, 0), " mg/L"));
  if (target->clamped) {
    answer.Warn("the recommendation covers 21 to 27 Brix; its nearest value was taken");
  }
  return target->yan_mg_l;
}

}  // namespace

absl::StatusOr<Answer> AnswerNutrient(const NutrientAsked& asked) {
  if (absl::Status bad = CheckRange("nitrogen", asked.yan_mg_l, 0, 1000, "mg/L"); !bad.ok()) {
    return bad;
  }
  Answer answer;
  const absl::StatusOr<double> target = TargetOf(asked, answer);
  if (!target.ok()) return target.status();
  const double rise_mg_l = std::max(0.0, *target - asked.yan_mg_l);
  const absl::StatusOr<double> mass_g =
      NutrientForRise(rise_mg_l, asked.volume_l, asked.nitrogen_share);
  if (!mass_g.ok()) return mass_g.status();
  const std::string name = asked.nutrient.empty() ? "diammonium phosphate" : asked.nutrient;
  answer.Step(absl::StrCat("(", Print(*target, 0), " - ", Print(asked.yan_mg_l, 0), ") mg/L x ",
                           Print(asked.volume_l, 2), " L / ", Print(asked.nitrogen_share, 3),
                           " g N per g = ", PrintMass(*mass_g)));
  AddMass(absl::StrCat("to add: ", name), *mass_g, answer);
  answer.Add("nitrogen then", std::max(*target, asked.yan_mg_l), 0, "mg/L", 25);
  const double dose_mg_l = *mass_g / asked.volume_l * 1000;
  answer.Add("dose", dose_mg_l, 0, "mg/L");
  answer.Rest(kNutrientNitrogen);
  answer.Assume(absl::StrCat(name, " holds ", Print(asked.nitrogen_share * 100, 1), " % nitrogen"));
  if (rise_mg_l == 0) answer.Warn("there is nitrogen enough: nothing to add");
  if (rise_mg_l > 0) {
    answer.Warn(
        "in two parts: the first once fermentation shows, the second by a third of the sugar; no "
        "ammonium to yeast that is being woken");
  }
  if (rise_mg_l > 200) answer.Warn("an unusually large rise: check the reading");
  answer.Mind(Caution::kCarbonDioxide);
  if (!asked.ceilings.empty()) AddRoom(name, dose_mg_l, asked.ceilings, "mg/L", 0, answer);
  return answer;
}

namespace {

// The rate to go by, with how it was found.
absl::StatusOr<double> YeastRate(std::optional<double> given_g_hl, std::optional<double> brix,
                                 Answer& answer) {
  if (!brix) {
    if (given_g_hl) return *given_g_hl;
    answer.Assume(absl::StrCat(Print(kUsualYeastGHl, 0),
                               " g/hL, as is usual: neither a rate nor the sugar was given. A must "
                               "above 25 Brix wants more"));
    return kUsualYeastGHl;
  }
  const absl::StatusOr<double> by_sugar = YeastRateFor(*brix);
  if (!by_sugar.ok()) return by_sugar.status();
  answer.Rest(kYeastForSugar);
  answer.Step(absl::StrCat("yeast for a must of ", Print(*brix, 1), " Brix = ", Print(*by_sugar, 1),
                           " g/hL"));
  if (!given_g_hl) return *by_sugar;
  if (*given_g_hl < *by_sugar) {
    answer.Warn(absl::StrCat("a must of ", Print(*brix, 1), " Brix wants ", Print(*by_sugar, 0),
                             " g/hL of yeast, and ", Print(*given_g_hl, 0),
                             " were asked for: it may stop with sugar left"));
  }
  return *given_g_hl;
}

}  // namespace

absl::StatusOr<Answer> AnswerYeast(double volume_l, std::optional<double> rate_g_hl,
                                   std::optional<double> brix) {
  Answer answer;
  const absl::StatusOr<double> rate = YeastRate(rate_g_hl, brix, answer);
  if (!rate.ok()) return rate.status();
  const absl::StatusOr<Inoculum> inoculum = InoculumFor(volume_l, *rate);
  if (!inoculum.ok()) return inoculum.status();
  answer.Step(absl::StrCat(Print(*rate, 1), " g/hL x ", Print(volume_l, 2),
                           " L / 100 = ", PrintMass(inoculum->yeast_g)));
  AddMass("to add: dried yeast", inoculum->yeast_g, answer);
  AddVolume("water of 38 to 40 C to wake it in", inoculum->water_ml, answer);
  answer.Add("yeast in the must", inoculum->cells_million_ml, 1, "million/mL");
  answer.Rest(kInoculum);
  answer.Assume("20 000 million living cells in a g, as fresh dried yeast has");
  answer.Assume("the label of the yeast says otherwise: follow it");
  if (*rate < 15) answer.Warn("less than usual: slow starts give other microbes their chance");
  if (*rate > 60) answer.Warn("more than usual");
  answer.Warn(
      "20 minutes in the water, then must by and by until it is within 5 to 10 degrees of the "
      "rest");
  answer.Mind(Caution::kCarbonDioxide);
  answer.Mind(Caution::kHotGlass);
  return answer;
}

}  // namespace rundlet::oenology

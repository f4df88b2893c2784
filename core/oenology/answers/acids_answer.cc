#include "core/oenology/answers/acids_answer.h"

#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr Acid kAll[] = {Acid::kTartaric, Acid::kSulfuric, Acid::kMalic,
                         Acid::kCitric,   Acid::kLactic,   Acid::kAcetic};

// The change of TA asked for, upward or downward.
absl::StatusOr<double> ChangeOf(const AcidDoseAsked& asked, bool up) {
  if (asked.target_ta_g_l.has_value() == asked.change_g_l.has_value()) {
    return absl::InvalidArgumentError("give one of the two: the acidity to reach, or the change");
  }
  if (asked.change_g_l) {
    if (*asked.change_g_l == 0) return absl::InvalidArgumentError("a change of 0: nothing to add");
    return *asked.change_g_l;
  }
  if (!asked.ta_g_l) {
    return absl::InvalidArgumentError("a target needs the acidity that is there: measure it");
  }
  if (absl::Status bad = FirstError({CheckRange("acidity", *asked.ta_g_l, 1, 25, "g/L"),
                                     CheckRange("target", *asked.target_ta_g_l, 1, 25, "g/L")});
      !bad.ok()) {
    return bad;
  }
  const double change_g_l = (*asked.target_ta_g_l - *asked.ta_g_l) * (up ? 1 : -1);
  if (change_g_l == 0) {
    return absl::OutOfRangeError(absl::StrCat("acidity of ", Print(*asked.ta_g_l, 2),
                                              " g/L is at the target already: nothing to add"));
  }
  if (change_g_l < 0) {
    return absl::OutOfRangeError(
        absl::StrCat("acidity of ", Print(*asked.ta_g_l, 2), " g/L is already ",
                     up ? "above" : "below", " the target of ", Print(*asked.target_ta_g_l, 2),
                     " g/L: ", up ? "a carbonate lowers it" : "an acid raises it"));
  }
  return change_g_l;
}

// A guess at the pH, only where a straight line still means something.
void AddPh(double ph, double shift, double buffer_meq, Answer& answer) {
  answer.Rest(kPhShift);
  if (std::fabs(shift) > 0.5 || ph + shift < 2.7 || ph + shift > 4.3) {
    answer.Warn("the pH would move too far to guess at: a bench trial shows where it goes");
    return;
  }
  answer.Add("pH then, a rough guess", ph + shift, 2, "", std::fabs(shift) / 2);
  answer.Step(
      absl::StrCat("pH = ", Print(ph, 2), shift < 0 ? " - " : " + ", Print(std::fabs(shift), 2)));
  answer.Assume(absl::StrCat("buffer capacity of ", Print(buffer_meq, 0),
                             " meq/L per pH; wines have 30 to 60"));
}

void AddAllAcidities(double tartaric_g_l, Answer& answer) {
  for (const Acid acid : kAll) {
    answer.Add(absl::StrCat("as ", AcidName(acid), " acid"),
               *ConvertAcidity(tartaric_g_l, Acid::kTartaric, acid), 2, "g/L");
  }
  answer.Add("equivalents", *AcidityMeqL(tartaric_g_l, Acid::kTartaric), 1, "meq/L");
  answer.Rest(kAcidEquivalents);
}

}  // namespace

absl::StatusOr<Answer> AnswerAcidity(double acidity_g_l, Acid as) {
  if (absl::Status bad = CheckRange("acidity", acidity_g_l, 0, 50, "g/L"); !bad.ok()) return bad;
  const absl::StatusOr<double> tartaric = ConvertAcidity(acidity_g_l, as, Acid::kTartaric);
  if (!tartaric.ok()) return tartaric.status();
  Answer answer;
  answer.Step(absl::StrCat(Print(acidity_g_l, 2), " g/L as ", AcidName(as), " / ",
                           Print(EquivalentMass(as), 3),
                           " g = ", Print(*AcidityMeqL(acidity_g_l, as), 1),
                           " meq/L; times the equivalent of each acid"));
  AddAllAcidities(*tartaric, answer);
  return answer;
}

absl::StatusOr<Answer> AnswerTitration(double base_ml, double normality, double sample_ml) {
  const absl::StatusOr<double> tartaric =
      AcidityFromTitration(base_ml, normality, sample_ml, Acid::kTartaric);
  if (!tartaric.ok()) return tartaric.status();
  if (absl::Status bad = CheckRange("acidity", *tartaric, 0, 50, "g/L"); !bad.ok()) return bad;
  Answer answer;
  answer.Step(absl::StrCat("75.043 x ", Print(base_ml, 2), " mL x ", Print(normality, 3), " N / ",
                           Print(sample_ml, 1), " mL = ", Print(*tartaric, 2),
                           " g/L as tartaric acid"));
  AddAllAcidities(*tartaric, answer);
  answer.Rest(kTitration);
  answer.Assume("the sample held no carbon dioxide");
  answer.Assume("one end point throughout: pH 7 and 8.2 differ by some 0.3 g/L");
  answer.Mind(Caution::kLye);
  return answer;
}

absl::StatusOr<Answer> AnswerAcidDose(Acid acid, const AcidDoseAsked& asked) {
  const absl::StatusOr<double> rise = ChangeOf(asked, true);
  if (!rise.ok()) return rise.status();
  const absl::StatusOr<double> grams = AcidForRise(acid, *rise, asked.volume_l);
  if (!grams.ok()) return grams.status();
  const double added_g_l = *grams / asked.volume_l;
  Answer answer;
  answer.Step(absl::StrCat(Print(*rise, 2), " g/L x ", Print(asked.volume_l, 2), " L x ",
                           Print(EquivalentMass(acid), 3), " / 75.043 = ", PrintMass(*grams)));
  AddMass(absl::StrCat("to add: ", AcidName(acid), " acid"), *grams, answer);
  answer.Add("rise of acidity, as tartaric", *rise, 2, "g/L");
  answer.Rest(kAcidAddition);
  answer.Rest(kAcidEquivalents);
  answer.Mind(Caution::kAcid);
  if (asked.ph) {
    const absl::StatusOr<double> shift =
        PhShiftOfAcid(acid, added_g_l, *asked.ph, asked.buffer_meq);
    if (!shift.ok()) return shift.status();
    AddPh(*asked.ph, *shift, asked.buffer_meq, answer);
  }
  if (acid == Acid::kTartaric) {
    answer.Warn("potassium bitartrate may fall out later and take up to half of the rise away");
  } else if (acid == Acid::kCitric) {
    answer.Warn(
        "bacteria turn citric acid into acetic: not before or during malolactic fermentation");
  } else if (acid == Acid::kMalic) {
    answer.Warn("malolactic bacteria take malic acid away again");
  }
  answer.Warn("do a bench trial first: taste and pH decide, not acidity alone");
  AddRoom("acid added", added_g_l, asked.ceilings, "g/L", 2, answer);
  return answer;
}

absl::StatusOr<Answer> AnswerCarbonateDose(Carbonate carbonate, const AcidDoseAsked& asked) {
  const absl::StatusOr<double> drop = ChangeOf(asked, false);
  if (!drop.ok()) return drop.status();
  const absl::StatusOr<double> with = CarbonateForDrop(carbonate, *drop, asked.volume_l, true);
  if (!with.ok()) return with.status();
  const absl::StatusOr<double> without = CarbonateForDrop(carbonate, *drop, asked.volume_l, false);
  if (!without.ok()) return without.status();
  Answer answer;
  const bool calcium = carbonate == Carbonate::kCalciumCarbonate;
  const absl::string_view name = CarbonateName(carbonate);
  answer.Step(absl::StrCat(Print(*drop, 2), " g/L x ", Print(asked.volume_l, 2), " L x ",
                           Print(*with / (*drop > 0 ? *drop * asked.volume_l : 1), 3), " = ",
                           PrintMass(*with)));
  AddMass(absl::StrCat("to add: ", name), *with, answer);
  answer.Add("fall of acidity, as tartaric", *drop, 2, "g/L");
  if (!calcium) {
    AddMass("if no bitartrate fell out, it would take", *without, answer);
    answer.Assume(
        "the potassium falls out in full as bitartrate in the cold; until then the acidity has "
        "fallen by half only");
  } else {
    answer.Assume("it neutralises in full; in wine calcium reaches about 85 % of that");
    answer.Warn("calcium tartrate can fall out weeks later: wait before you bottle");
  }
  answer.Rest(kDeacidification);
  answer.Mind(Caution::kAlkali);
  if (asked.ph) {
    const absl::StatusOr<double> shift =
        PhShiftOfCarbonate(carbonate, *with / asked.volume_l, asked.buffer_meq);
    if (!shift.ok()) return shift.status();
    AddPh(*asked.ph, *shift, asked.buffer_meq, answer);
  }
  if (!calcium && asked.ta_g_l && *asked.ta_g_l > 10 && asked.ph.value_or(3.0) >= 3.0) {
    answer.Warn("above 10 g/L potassium alone raises the pH too far unless it is below 3.0");
  }
  if (*drop > 3) answer.Warn("more than 3 g/L at once: do it in steps, with trials between");
  answer.Warn("do a bench trial first, and add it slowly: it foams");
  AddRoom("fall of acidity", *drop, asked.ceilings, "g/L", 2, answer);
  return answer;
}

}  // namespace rundlet::oenology

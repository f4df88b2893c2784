#include "core/oenology/answers/sorbate_answer.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kLeastFreeSo2 = 20;
constexpr double kTastedMgL = 135;

void WarnOf(const SorbateAsked& asked, double sorbic_mg_l, Answer& answer) {
  if (!asked.free_mg_l) {
    answer.Warn("never sorbate alone: it needs free SO2, which was not given; measure it");
  } else if (*asked.free_mg_l < kLeastFreeSo2) {
    answer.Warn(absl::StrCat("never sorbate alone: bring free SO2, now ",
                             Print(*asked.free_mg_l, 0), " mg/L, to what the pH needs first"));
  }
  answer.Warn(
      "never where malolactic bacteria work or may work again: they turn sorbic acid into a smell "
      "of geraniums that cannot be taken away");
  answer.Warn("it stops no fermentation that goes on: the wine must be still, clear and racked");
  if (sorbic_mg_l >= kTastedMgL) {
    answer.Warn("people begin to taste sorbic acid from 135 mg/L on");
  }
}

}  // namespace

absl::StatusOr<Answer> AnswerSorbate(const SorbateAsked& asked) {
  if (absl::Status bad =
          FirstError({CheckRange("volume", asked.volume_l, 0.01, 1e6, "L"),
                      CheckRange("sorbic acid", asked.sorbic_mg_l, 0, 1000, "mg/L"),
                      CheckRange("free SO2", asked.free_mg_l.value_or(0), 0, 300, "mg/L")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<SorbateDose> dose = SorbateFor(asked.alcohol_pct, asked.ph);
  if (!dose.ok()) return dose.status();
  const double there_mg_l = asked.sorbic_mg_l / kSorbicAcidOfSorbate;
  const double add_mg_l = std::max(0.0, dose->sorbate_mg_l - there_mg_l);
  const double sorbic_mg_l = asked.sorbic_mg_l + add_mg_l * kSorbicAcidOfSorbate;
  const double mass_g = add_mg_l * asked.volume_l / 1000;
  Answer answer;
  answer.Step(absl::StrCat("potassium sorbate at ", Print(asked.alcohol_pct, 1), " % vol and pH ",
                           Print(asked.ph, 2), " = ", Print(dose->sorbate_mg_l, 0), " mg/L"));
  if (asked.sorbic_mg_l > 0) {
    answer.Step(absl::StrCat("less ", Print(there_mg_l, 0),
                             " mg/L that is there already = ", Print(add_mg_l, 0), " mg/L"));
  }
  answer.Step(absl::StrCat(Print(add_mg_l, 0), " mg/L x ", Print(asked.volume_l, 2),
                           " L = ", PrintMass(mass_g)));
  AddMass("to add: potassium sorbate", mass_g, answer);
  AddVolume("or, of a solution of 30 g/L", mass_g / 30 * 1000, answer);
  answer.Add("potassium sorbate", add_mg_l, 0, "mg/L", dose->sorbate_mg_l * 0.2);
  answer.Add("sorbic acid then", sorbic_mg_l, 0, "mg/L");
  answer.Rest(kSorbateDose);
  answer.Rest(kSorbicAcid);
  answer.Assume("the sorbate is fresh: it loses its strength within a year or two");
  answer.Assume("clear wine with few yeasts; turbid wine needs more, and is better racked");
  if (dose->clamped) {
    answer.Warn(
        "the table covers 10 to 14 % vol and pH 3.1 to 3.5; its nearest value was taken. Less "
        "alcohol or a higher pH would need more than this");
  }
  WarnOf(asked, sorbic_mg_l, answer);
  answer.Mind(Caution::kPressure);
  AddRoom("sorbic acid", sorbic_mg_l, asked.ceilings, "mg/L", 0, answer);
  return answer;
}

}  // namespace rundlet::oenology

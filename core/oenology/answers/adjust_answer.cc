#include "core/oenology/answers/adjust_answer.h"

#include "absl/strings/str_cat.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/scales.h"
#include "core/oenology/sucrose.h"

namespace rundlet::oenology {
namespace {

double Rho(double brix) { return internal::SucroseDensity(brix, 20); }

std::string Mass(double volume_l, double brix) {
  return absl::StrCat(Print(volume_l, 2), " L x ", Print(Rho(brix) / 1000, 4), " kg/L");
}

// What all sweetening has in common.
void MindSugar(Answer& answer) {
  answer.Rest(kSucroseDensity);
  answer.Assume("volumes and densities at 20 C; no alcohol yet");
  answer.Mind(Caution::kPressure);
  answer.Mind(Caution::kLegalCeiling);
  answer.Warn("leave headspace, dissolve it first, stir, and measure again");
}

void AddNewVolume(const Adjustment& made, double volume_l, Answer& answer) {
  answer.Add("volume then", made.volume_l, 2, "L");
  answer.Add("rise of volume", made.volume_l - volume_l, 2, "L");
}

// What is poured in to change a strength.
std::string NameOfStrength(double pct) {
  constexpr double kStrongestWinePct = 20;
  if (pct == 0) return "water";
  return absl::StrCat(pct > kStrongestWinePct ? "spirit" : "wine", " of ", Print(pct, 1), " % vol");
}

void AddMakeUp(const MakeUp& made, Answer& answer) {
  AddVolume("to measure out: concentrate", made.concentrate_l * 1000, answer);
  AddVolume("to measure out: water", made.water_l * 1000, answer);
  answer.Add("volume", made.volume_l, 2, "L");
  answer.Add("sugar", made.brix, 1, "Brix", 0.3);
  const absl::StatusOr<double> gravity = ReadingOf(Scale::kGravity, made.density_kg_m3);
  if (gravity.ok()) answer.Add("specific gravity 20/20", *gravity, 4, "", 0.0013);
  answer.Rest(kMakeUp);
  MindSugar(answer);
  answer.Assume("the Brix on the concentrate's label is right to 0.5");
}

}  // namespace

absl::StatusOr<Answer> AnswerSugar(double volume_l, double brix, double target_brix) {
  const absl::StatusOr<Adjustment> sugar = SugarToBrix(volume_l, brix, target_brix);
  if (!sugar.ok()) return sugar.status();
  Answer answer;
  answer.Step(absl::StrCat(Mass(volume_l, brix), " x (", Print(target_brix, 1), " - ",
                           Print(brix, 1), ") / (100 - ", Print(target_brix, 1),
                           ") = ", PrintMass(sugar->added_kg * 1000)));
  AddMass("to add: sugar", sugar->added_kg * 1000, answer);
  AddNewVolume(*sugar, volume_l, answer);
  answer.Rest(kSugarAddition);
  MindSugar(answer);
  return answer;
}

absl::StatusOr<Answer> AnswerSugarForAlcohol(double volume_l, double potential_pct, double rise_pct,
                                             double sugar_g_l_pct) {
  if (rise_pct == 0) return absl::InvalidArgumentError("a rise of 0: nothing to add");
  const absl::StatusOr<Adjustment> sugar =
      SugarForAlcohol(volume_l, potential_pct, rise_pct, sugar_g_l_pct);
  if (!sugar.ok()) return sugar.status();
  Answer answer;
  answer.Step(absl::StrCat(Print(sugar_g_l_pct, 2), " g/L x ", Print(volume_l, 2), " L x ",
                           Print(rise_pct, 2), " / (1052.6 - 0.62 x ", Print(sugar_g_l_pct, 2),
                           " x ", Print(potential_pct + rise_pct, 1),
                           ") = ", PrintMass(sugar->added_kg * 1000)));
  AddMass("to add: sugar", sugar->added_kg * 1000, answer);
  answer.Add("alcohol to come", potential_pct + rise_pct, 1, "% vol",
             0.04 * (potential_pct + rise_pct));
  AddNewVolume(*sugar, volume_l, answer);
  answer.Rest(kSugarForAlcohol);
  answer.Assume(absl::StrCat(Print(sugar_g_l_pct, 2), " g/L of sugar make 1 % vol"));
  MindSugar(answer);
  if (potential_pct + rise_pct > 15.5) answer.Warn("many yeasts stop before that much alcohol");
  return answer;
}

absl::StatusOr<Answer> AnswerConcentrate(double volume_l, double brix, double target_brix,
                                         double concentrate_brix) {
  const absl::StatusOr<Adjustment> added =
      ConcentrateToBrix(volume_l, brix, target_brix, concentrate_brix);
  if (!added.ok()) return added.status();
  Answer answer;
  answer.Step(absl::StrCat(Mass(volume_l, brix), " x (", Print(target_brix, 1), " - ",
                           Print(brix, 1), ") / (", Print(concentrate_brix, 1), " - ",
                           Print(target_brix, 1), ") = ", PrintMass(added->added_kg * 1000),
                           ", of ", Print(Rho(concentrate_brix) / 1000, 4), " kg/L"));
  AddVolume("to add: concentrate", added->added_l * 1000, answer);
  AddMass("its mass", added->added_kg * 1000, answer);
  AddNewVolume(*added, volume_l, answer);
  answer.Rest(kConcentrateAddition);
  answer.Assume("concentrate brings acid too: measure it afterwards");
  MindSugar(answer);
  return answer;
}

absl::StatusOr<Answer> AnswerWater(double volume_l, double brix, double target_brix) {
  const absl::StatusOr<Adjustment> water = WaterToBrix(volume_l, brix, target_brix);
  if (!water.ok()) return water.status();
  Answer answer;
  answer.Step(absl::StrCat(Mass(volume_l, brix), " x (", Print(brix, 1), " / ",
                           Print(target_brix, 1), " - 1) = ", PrintMass(water->added_kg * 1000)));
  AddVolume("to add: water", water->added_l * 1000, answer);
  AddNewVolume(*water, volume_l, answer);
  answer.Rest(kWaterAddition);
  answer.Rest(kSucroseDensity);
  answer.Assume("volumes and densities at 20 C; no alcohol yet");
  answer.Warn(absl::StrCat("acid, nitrogen and SO2 fall too, to ",
                           Print(volume_l / water->volume_l * 100, 1), " % of what they were"));
  answer.Mind(Caution::kLegalCeiling);
  return answer;
}

absl::StatusOr<Answer> AnswerMakeUpToVolume(double concentrate_l, double concentrate_brix,
                                            double volume_l) {
  const absl::StatusOr<MakeUp> made = MakeUpToVolume(concentrate_l, concentrate_brix, volume_l);
  if (!made.ok()) return made.status();
  Answer answer;
  answer.Step(absl::StrCat(
      "sugar = ", Mass(concentrate_l, concentrate_brix), " x ", Print(concentrate_brix, 1),
      " % = ", Print(concentrate_l * Rho(concentrate_brix) * concentrate_brix / 1e5, 2), " kg; in ",
      Print(volume_l, 2), " L that is ", Print(made->brix, 2), " Brix"));
  AddMakeUp(*made, answer);
  return answer;
}

absl::StatusOr<Answer> AnswerMakeUpToBrix(double volume_l, double brix, double concentrate_brix) {
  const absl::StatusOr<MakeUp> made = MakeUpToBrix(volume_l, brix, concentrate_brix);
  if (!made.ok()) return made.status();
  Answer answer;
  answer.Step(absl::StrCat("sugar = ", Mass(volume_l, brix), " x ", Print(brix, 1), " %; over ",
                           Print(Rho(concentrate_brix) / 1000, 4), " kg/L x ",
                           Print(concentrate_brix, 1),
                           " % = ", PrintVolume(made->concentrate_l * 1000)));
  AddMakeUp(*made, answer);
  return answer;
}

absl::StatusOr<Answer> AnswerSpirit(double volume_l, double wine_pct, double spirit_pct,
                                    double target_pct) {
  const absl::StatusOr<SpiritDose> dose =
      SpiritToStrength(volume_l, wine_pct, spirit_pct, target_pct);
  if (!dose.ok()) return dose.status();
  Answer answer;
  answer.Step(absl::StrCat("by mass: ", Print(volume_l, 2), " L of ", Print(wine_pct, 1),
                           " % vol and ", Print(dose->added_l, 3), " L of ", Print(spirit_pct, 1),
                           " % vol give ", Print(dose->volume_l, 3), " L of ", Print(target_pct, 1),
                           " % vol"));
  answer.Step(absl::StrCat("by the square: ", Print(volume_l, 2), " L x (", Print(target_pct, 1),
                           " - ", Print(wine_pct, 1), ") / (", Print(spirit_pct, 1), " - ",
                           Print(target_pct, 1), ") = ", Print(dose->square_l, 3), " L"));
  AddVolume(absl::StrCat("to add: ", NameOfStrength(spirit_pct)), dose->added_l * 1000, answer);
  answer.Add("volume then", dose->volume_l, 2, "L");
  answer.Add("lost by shrinkage", dose->shrinkage_l, 2, "L");
  AddVolume("by the Pearson square, which leaves shrinkage out", dose->square_l * 1000, answer);
  answer.Rest(kSpirit);
  answer.Rest(kPearsonSquare);
  answer.Assume("strengths and volumes at 20 C; sugar counts as water");
  if (spirit_pct > 20 || wine_pct > 20) answer.Mind(Caution::kFlammable);
  answer.Mind(Caution::kLegalCeiling);
  return answer;
}

}  // namespace rundlet::oenology

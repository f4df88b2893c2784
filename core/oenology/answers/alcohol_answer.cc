#include "core/oenology/answers/alcohol_answer.h"

#include "absl/strings/str_cat.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/must.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

constexpr double kGravityError = 0.5;  // % vol, of alcohol from gravities

void AddByExtract(double original, double present, double sugar_free, double alcohol,
                  Answer* answer) {
  answer->Add("alcohol, by the must's sugar", alcohol, 1, "% vol", kGravityError);
  const absl::StatusOr<double> sugar = MustSugarGL(original * kWater20KgM3);
  if (sugar.ok()) {
    answer->Step(absl::StrCat("(", Print(*sugar, 1), " sugar of the must + ", Print(sugar_free, 0),
                              " other extract - ", Print(internal::ExtractGL(present, alcohol), 1),
                              " extract left) g/L / 16.83 = ", Print(alcohol, 2), " % vol"));
  }
  answer->Rest(kAlcoholExtract);
  answer->Rest(kMustSugar);
  answer->Rest(kExtract);
}

void AddBalling(const Balling& b, double present, Answer* answer) {
  answer->Add("alcohol, by extract (Balling)", b.alcohol_pct, 1, "% vol", kGravityError);
  answer->Step(absl::StrCat("extract ", Print(b.original_extract, 2), " % before, apparent ",
                            Print(b.apparent_extract, 2), " % now, so real ",
                            Print(b.real_extract, 2), " %: alcohol ", Print(b.alcohol_mass, 2),
                            " % by mass, times SG ", Print(present, 4),
                            " and 998.21 / 789.24 = ", Print(b.alcohol_pct, 2), " % vol"));
  answer->Rest(kAlcoholBalling);
}

}  // namespace

absl::StatusOr<Answer> AnswerAlcohol(double original, double present,
                                     double sugar_free_extract_g_l) {
  const absl::StatusOr<AlcoholSpread> all =
      AlcoholSideBySide(original, present, sugar_free_extract_g_l);
  if (!all.ok()) return all.status();
  Answer answer;
  if (all->by_extract.has_value()) {
    AddByExtract(original, present, sugar_free_extract_g_l, *all->by_extract, &answer);
    answer.Assume(absl::StrCat("grape must; sugar-free extract of ",
                               Print(sugar_free_extract_g_l, 0),
                               " g/L (5 g/L more or less move "
                               "the alcohol by 0.3)"));
  } else {
    answer.Warn(
        "the original gravity lies outside the table for grape must (1.041 to 1.130): the way by "
        "the must's sugar is left out");
  }
  AddBalling(all->by_balling, present, &answer);
  answer.Add("alcohol, simple factor", all->by_factor, 1, "% vol", kGravityError);
  answer.Step(absl::StrCat("131.25 x (", Print(original, 4), " - ", Print(present, 4),
                           ") = ", Print(all->by_factor, 2), " % vol"));
  answer.Rest(kAlcoholFactor);
  const absl::StatusOr<double> cutaia = AlcoholByCutaia(original, present);
  if (cutaia.ok()) {
    answer.Add("alcohol, fitted to beers", *cutaia, 1, "% vol");
    answer.Rest(kAlcoholCutaia);
  }
  answer.Add("spread", all->high - all->low, 1, "% vol");
  answer.Add("middle", all->middle, 1, "% vol");
  answer.Assume("sugar, water or concentrate that was added is counted in the original gravity");
  answer.Assume("both gravities are SG 20/20, corrected for temperature, without gas");
  answer.Warn("an estimate: none of these is a distillation, and none is good enough for a label");
  return answer;
}

absl::StatusOr<Answer> AnswerDistillate(double rho_kg_m3, double temperature_c) {
  const absl::StatusOr<double> p = EthanolMassFraction(rho_kg_m3, temperature_c);
  if (!p.ok()) return p.status();
  const absl::StatusOr<double> alcohol = AlcoholFromMassFraction(*p);
  if (!alcohol.ok()) return alcohol.status();
  Answer answer;
  answer.Add("alcohol at 20 C", *alcohol, 2, "% vol", 0.1);
  answer.Add("alcohol by mass", 100 * *p, 2, "%", 0.1);
  answer.Add("density at 20 C", internal::EthanolDensity(*p, 20), 2, "kg/m3", 0.1);
  answer.Step(absl::StrCat(Print(rho_kg_m3, 2), " kg/m3 at ", Print(temperature_c, 1),
                           " C belongs to ", Print(100 * *p, 3), " % of ethanol by mass"));
  answer.Step(absl::StrCat(Print(100 * *p, 3), " % x ", Print(internal::EthanolDensity(*p, 20), 2),
                           " / 789.24 = ", Print(*alcohol, 2), " % vol"));
  answer.Assume("nothing but water and ethanol: a distillate");
  answer.Warn("the density of a wine as it is does not give its alcohol: its extract weighs too");
  answer.Rest(kEthanolDensity);
  answer.Rest(kAlcoholByVolume);
  if (*alcohol > 24) answer.Mind(Caution::kFlammable);
  return answer;
}

absl::StatusOr<Answer> AnswerDistillateDensity(double alcohol_pct, double temperature_c) {
  const absl::StatusOr<double> rho = DensityFromAlcohol(alcohol_pct, temperature_c);
  if (!rho.ok()) return rho.status();
  const absl::StatusOr<double> p = MassFractionFromAlcohol(alcohol_pct);
  if (!p.ok()) return p.status();
  Answer answer;
  answer.Add("density", *rho, 2, "kg/m3", 0.1);
  answer.Add("alcohol by mass", 100 * *p, 2, "%", 0.1);
  answer.Step(absl::StrCat(Print(alcohol_pct, 2), " % vol at 20 C is ", Print(100 * *p, 3),
                           " % by mass, which weighs ", Print(*rho, 2), " kg/m3 at ",
                           Print(temperature_c, 1), " C"));
  answer.Assume("nothing but water and ethanol");
  answer.Rest(kEthanolDensity);
  answer.Rest(kAlcoholByVolume);
  if (alcohol_pct > 24) answer.Mind(Caution::kFlammable);
  return answer;
}

absl::StatusOr<Answer> AnswerDensityWithoutSulfurDioxide(double rho_kg_m3, double so2_mg_l) {
  const absl::StatusOr<double> rho = DensityWithoutSulfurDioxide(rho_kg_m3, so2_mg_l);
  if (!rho.ok()) return rho.status();
  Answer answer;
  answer.Add("density without sulfur dioxide", *rho, 2, "kg/m3");
  answer.Step(absl::StrCat(Print(rho_kg_m3, 2), " - 0.6 x ", Print(so2_mg_l / 1000, 3), " = ",
                           Print(*rho, 2), " kg/m3"));
  answer.Rest(kSulfurDioxideDensity);
  return answer;
}

absl::StatusOr<Answer> AnswerResidualSugar(double gravity, double alcohol_pct,
                                           double sugar_free_extract_g_l) {
  const absl::StatusOr<double> sugar =
      ResidualSugarGL(gravity, alcohol_pct, sugar_free_extract_g_l);
  if (!sugar.ok()) return sugar.status();
  const absl::StatusOr<double> extract = ExtractGL(gravity, alcohol_pct);
  if (!extract.ok()) return extract.status();
  Answer answer;
  answer.Add("sugar left, estimated", *sugar, 0, "g/L", 7);
  answer.Add("total extract", *extract, 0, "g/L", 2);
  answer.Step(absl::StrCat("extract ", Print(*extract, 1), " - ", Print(sugar_free_extract_g_l, 0),
                           " without sugar = ", Print(*extract - sugar_free_extract_g_l, 1),
                           " g/L"));
  if (*extract < 15) {
    answer.Warn("less extract than wine has: gravity and alcohol do not belong together");
  }
  answer.Assume(absl::StrCat("sugar-free extract of ", Print(sugar_free_extract_g_l, 0),
                             " g/L; wines have 18 to 30"));
  answer.Warn("too coarse to bottle by: measure the sugar before you do");
  answer.Rest(kResidualSugar);
  answer.Rest(kExtract);
  if (*sugar + 7 > 4) answer.Mind(Caution::kPressure);
  return answer;
}

absl::StatusOr<Answer> AnswerEnergy(const WineMakeup& makeup) {
  const absl::StatusOr<Energy> energy = EnergyOf(makeup);
  if (!energy.ok()) return energy.status();
  Answer answer;
  answer.Add("energy per 100 mL", energy->kj_per_100_ml, 0, "kJ");
  answer.Add("the same in kilocalories", energy->kcal_per_100_ml, 0, "kcal");
  const double alcohol_g = makeup.alcohol_pct * kEthanol20KgM3 / 1000;
  answer.Step(absl::StrCat(
      "29 x ", Print(alcohol_g, 2), " + 17 x ", Print(makeup.sugar_g_l / 10, 2), " + 13 x ",
      Print(makeup.acid_g_l / 10, 2), " + 10 x ", Print(makeup.glycerol_g_l / 10, 2), " = ",
      Print(energy->kj_per_100_ml, 1), " kJ"));
  answer.Step(absl::StrCat("7 x ", Print(alcohol_g, 2), " + 4 x ", Print(makeup.sugar_g_l / 10, 2),
                           " + 3 x ", Print(makeup.acid_g_l / 10, 2), " + 2.4 x ",
                           Print(makeup.glycerol_g_l / 10, 2), " = ",
                           Print(energy->kcal_per_100_ml, 1), " kcal"));
  if (makeup.glycerol_g_l == 0) answer.Assume("no glycerol; wines have 5 to 10 g/L");
  if (makeup.acid_g_l == 0) answer.Assume("no organic acids; wines have 5 to 8 g/L");
  answer.Rest(kEnergy);
  return answer;
}

}  // namespace rundlet::oenology

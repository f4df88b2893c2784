#include "core/oenology/answers/sulfite_answer.h"

#include "absl/strings/str_cat.h"

namespace rundlet::oenology {
namespace {

std::string Molecular(double free_mg_l, double ph, double pk) {
  return absl::StrCat(Print(free_mg_l, 1), " / (1 + 10^(", Print(ph, 2), " - ", Print(pk, 3), "))");
}

}  // namespace

absl::StatusOr<double> PkFor(const SulfiteWine& wine, Answer& answer) {
  answer.Rest(kMolecularSo2);
  if (wine.pk) {
    answer.Assume(absl::StrCat("pK1 of ", Print(*wine.pk, 3), ", as given"));
    return *wine.pk;
  }
  const double temperature_c = wine.temperature_c.value_or(20);
  const double alcohol_pct = wine.alcohol_pct.value_or(12);
  if (!wine.temperature_c) answer.Assume("20 C: no temperature was given");
  if (!wine.alcohol_pct) answer.Assume("12 % vol: no alcohol was given");
  const absl::StatusOr<SulfurPk> pk = Pk1OfSo2(temperature_c, alcohol_pct);
  if (!pk.ok()) return pk.status();
  answer.Rest(kSulfurPk);
  answer.Step(absl::StrCat("pK1 = ", Print(pk->pk, 3), " at ", Print(temperature_c, 1), " C and ",
                           Print(alcohol_pct, 1), " % vol"));
  if (pk->clamped) {
    answer.Warn(
        "the table of pK1 covers 20 to 40 C and 0 to 15 % vol; its nearest value was taken. Colder "
        "wine has less molecular SO2 than this");
  }
  return pk->pk;
}

absl::StatusOr<Answer> AnswerMolecularSo2(double free_mg_l, const SulfiteWine& wine) {
  Answer answer;
  const absl::StatusOr<double> pk = PkFor(wine, answer);
  if (!pk.ok()) return pk.status();
  const absl::StatusOr<double> molecular = MolecularSo2(free_mg_l, wine.ph, *pk);
  if (!molecular.ok()) return molecular.status();
  const absl::StatusOr<double> in_water = MolecularSo2(free_mg_l, wine.ph, kPkInWater);
  if (!in_water.ok()) return in_water.status();
  answer.Step(absl::StrCat("molecular = ", Molecular(free_mg_l, wine.ph, *pk), " = ",
                           Print(*molecular, 2)));
  answer.Add("molecular SO2", *molecular, 2, "mg/L", *molecular * kMolecularError);
  answer.Add("with pK1 1.81, as older tables have it", *in_water, 2, "mg/L");
  answer.Add("share of free SO2", free_mg_l > 0 ? *molecular / free_mg_l * 100 : 0, 1, "%");
  answer.Assume("free SO2 is free: in red wine part of it is held by colour and counted as free");
  return answer;
}

absl::StatusOr<Answer> AnswerFreeForMolecular(double molecular_mg_l, const SulfiteWine& wine) {
  Answer answer;
  const absl::StatusOr<double> pk = PkFor(wine, answer);
  if (!pk.ok()) return pk.status();
  const absl::StatusOr<double> free_mg_l = FreeForMolecularSo2(molecular_mg_l, wine.ph, *pk);
  if (!free_mg_l.ok()) return free_mg_l.status();
  const absl::StatusOr<double> in_water = FreeForMolecularSo2(molecular_mg_l, wine.ph, kPkInWater);
  if (!in_water.ok()) return in_water.status();
  answer.Step(absl::StrCat("free = ", Print(molecular_mg_l, 2), " x (1 + 10^(", Print(wine.ph, 2),
                           " - ", Print(*pk, 3), ")) = ", Print(*free_mg_l, 1)));
  answer.Add("free SO2 needed", *free_mg_l, 0, "mg/L", *free_mg_l * kMolecularError);
  answer.Add("with pK1 1.81, as older tables have it", *in_water, 0, "mg/L");
  if (*free_mg_l > 60) answer.Warn("more than most wines bear: lower the pH first");
  return answer;
}

}  // namespace rundlet::oenology

#include "core/oenology/answers/sulfite_answer.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"

namespace rundlet::oenology {
namespace {

constexpr double kUsualAlcoholPct = 12;
constexpr double kUsualC = 20;
constexpr double kPhError = 0.05;  // a meter that was calibrated
constexpr double kStingsMgL = 2;

bool Disagree(const PkBand& pk) { return pk.low < pk.high; }

// What one constant is called beside another.
std::string NameOf(double pk) {
  return pk == kPkInWater ? "the older constant of water, 1.81"
                          : absl::StrCat("the OIV method, ", Print(pk, 3));
}
std::string NameOfHigh(double pk) {
  return pk == kPkInWater ? NameOf(pk) : absl::StrCat("the OIV table as it stands, ", Print(pk, 3));
}

// The constants at 0 % vol, if the alcohol was only assumed.
std::optional<PkBand> BandOfJuice(const SulfiteWine& wine) {
  if (wine.pk || wine.alcohol_pct) return std::nullopt;
  const absl::StatusOr<PkBand> juice = PkBandOfSo2(wine.temperature_c.value_or(kUsualC), 0);
  return juice.ok() ? std::make_optional(*juice) : std::nullopt;
}

std::string TakenForGranted() {
  return absl::StrCat("no alcohol was given: ", Print(kUsualAlcoholPct, 0),
                      " % vol was taken. At 0 % vol (juice) ");
}

}  // namespace

absl::StatusOr<PkBand> PkFor(const SulfiteWine& wine, Answer& answer) {
  answer.Rest(kMolecularSo2);
  if (wine.pk) {
    answer.Assume(absl::StrCat("pK1 of ", Print(*wine.pk, 3), ", as given"));
    return PkBand{.low = *wine.pk, .wine = *wine.pk, .high = *wine.pk};
  }
  const double temperature_c = wine.temperature_c.value_or(kUsualC);
  const double alcohol_pct = wine.alcohol_pct.value_or(kUsualAlcoholPct);
  if (!wine.temperature_c) answer.Assume("20 C: no temperature was given");
  const absl::StatusOr<PkBand> pk = PkBandOfSo2(temperature_c, alcohol_pct);
  if (!pk.ok()) return pk.status();
  answer.Rest(kSulfurPk);
  answer.Rest(kSulfurPkInWine);
  answer.Step(absl::StrCat("pK1 at ", Print(temperature_c, 1), " C and ", Print(alcohol_pct, 1),
                           " % vol: ", Print(pk->wine + kPkLessForIons, 3),
                           " by the OIV table; less ", Print(kPkLessForIons, 2),
                           " for the ions of a wine ", Print(pk->wine, 3), "; older tables take ",
                           Print(kPkInWater, 2), " for every wine"));
  if (pk->clamped) {
    answer.Warn(
        "the table of pK1 covers 20 to 40 C and 0 to 15 % vol; its nearest value was taken. Colder "
        "wine has less molecular SO2 than this");
  }
  return *pk;
}

absl::Status AddMolecularSo2(absl::string_view label, double free_mg_l, const SulfiteWine& wine,
                             const PkBand& pk, Answer& answer) {
  const absl::StatusOr<double> molecular = MolecularSo2(free_mg_l, wine.ph, pk.wine);
  if (!molecular.ok()) return molecular.status();
  const auto by = [&](double ph, double constant) {
    return free_mg_l / (1 + std::pow(10, ph - constant));
  };
  const double error = std::max(*molecular - by(wine.ph + kPhError, pk.low),
                                by(wine.ph - kPhError, pk.high) - *molecular);
  answer.Step(absl::StrCat("molecular = ", Print(free_mg_l, 1), " / (1 + 10^(", Print(wine.ph, 2),
                           " - ", Print(pk.wine, 3), ")) = ", Print(*molecular, 2), " mg/L"));
  answer.Add(label, *molecular, 2, "mg/L", error);
  if (Disagree(pk)) {
    answer.Add(absl::StrCat("at the lowest, by ", NameOf(pk.low)), by(wine.ph, pk.low), 2, "mg/L");
    answer.Add(absl::StrCat("at the highest, by ", NameOfHigh(pk.high)), by(wine.ph, pk.high), 2,
               "mg/L");
  }
  if (const auto juice = BandOfJuice(wine)) {
    answer.Warn(absl::StrCat(TakenForGranted(), "molecular SO2 would be ",
                             Print(by(wine.ph, juice->wine), 2), " mg/L instead of ",
                             Print(*molecular, 2)));
  }
  if (*molecular > kStingsMgL) answer.Warn("above 2 mg/L molecular SO2 stings in the nose");
  return absl::OkStatus();
}

absl::StatusOr<FreeNeeded> FreeNeededFor(double molecular_mg_l, const SulfiteWine& wine,
                                         const PkBand& pk, Answer& answer) {
  const absl::StatusOr<double> most = FreeForMolecularSo2(molecular_mg_l, wine.ph, pk.low);
  if (!most.ok()) return most.status();
  const auto by = [&](double ph, double constant) {
    return molecular_mg_l * (1 + std::pow(10, ph - constant));
  };
  FreeNeeded needed{
      .most_mg_l = *most, .wine_mg_l = by(wine.ph, pk.wine), .least_mg_l = by(wine.ph, pk.high)};
  needed.error_mg_l =
      std::max(by(wine.ph + kPhError, pk.low) - *most, *most - by(wine.ph - kPhError, pk.high));
  answer.Step(absl::StrCat("free SO2 = ", Print(molecular_mg_l, 2), " x (1 + 10^(",
                           Print(wine.ph, 2), " - ", Print(pk.low, 3), ")) = ", Print(*most, 1),
                           " mg/L"));
  if (Disagree(pk)) {
    answer.Assume(absl::StrCat("the constants in use disagree: the figure to go by is that of ",
                               NameOf(pk.low), ", which protects the wine most"));
  }
  if (const auto juice = BandOfJuice(wine)) {
    answer.Warn(absl::StrCat(TakenForGranted(), "it would need ", Print(by(wine.ph, juice->low), 0),
                             " mg/L of free SO2 instead of ", Print(*most, 0),
                             ", and by the OIV "
                             "method ",
                             Print(by(wine.ph, juice->wine), 0), " instead of ",
                             Print(needed.wine_mg_l, 0)));
  }
  return needed;
}

void AddFreeNeeded(absl::string_view label, const FreeNeeded& needed, const PkBand& pk,
                   Answer& answer) {
  const bool disagree = Disagree(pk);
  answer.Add(disagree ? absl::StrCat(label, ", by ", NameOf(pk.low)) : std::string(label),
             needed.most_mg_l, 0, "mg/L", needed.error_mg_l);
  if (!disagree) return;
  if (pk.low < pk.wine) {
    answer.Add(absl::StrCat("by ", NameOf(pk.wine)), needed.wine_mg_l, 0, "mg/L");
  }
  answer.Add(absl::StrCat("by ", NameOfHigh(pk.high), ", the least protective"), needed.least_mg_l,
             0, "mg/L");
}

absl::StatusOr<Answer> AnswerMolecularSo2(double free_mg_l, const SulfiteWine& wine) {
  Answer answer;
  const absl::StatusOr<PkBand> pk = PkFor(wine, answer);
  if (!pk.ok()) return pk.status();
  if (absl::Status bad = AddMolecularSo2("molecular SO2", free_mg_l, wine, *pk, answer);
      !bad.ok()) {
    return bad;
  }
  const double molecular_mg_l = answer.figures[0].value;
  answer.Add("share of free SO2", free_mg_l > 0 ? molecular_mg_l / free_mg_l * 100 : 0, 1, "%");
  answer.Assume("free SO2 is free: in red wine part of it is held by colour and counted as free");
  return answer;
}

absl::StatusOr<Answer> AnswerFreeForMolecular(double molecular_mg_l, const SulfiteWine& wine) {
  Answer answer;
  const absl::StatusOr<PkBand> pk = PkFor(wine, answer);
  if (!pk.ok()) return pk.status();
  const absl::StatusOr<FreeNeeded> needed = FreeNeededFor(molecular_mg_l, wine, *pk, answer);
  if (!needed.ok()) return needed.status();
  AddFreeNeeded("free SO2 needed", *needed, *pk, answer);
  if (needed->most_mg_l > 60) answer.Warn("more than most wines bear: lower the pH first");
  return answer;
}

}  // namespace rundlet::oenology

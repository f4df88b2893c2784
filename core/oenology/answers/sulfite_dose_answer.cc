#include "core/oenology/answers/sulfite_dose_answer.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kTeaspoonG = 6;

absl::string_view UnitOf(const SulfiteMaterial& material) {
  switch (material.form) {
    case SulfiteForm::kPowder:
      return "g";
    case SulfiteForm::kSolution:
      return "mL";
    case SulfiteForm::kTablets:
      return "tablets";
  }
  return "g";
}

double SaltOf(const SulfiteMaterial& material, double units) {
  if (material.form == SulfiteForm::kSolution) return units * material.solution_pct_wv / 100;
  return material.form == SulfiteForm::kTablets ? units * material.tablet_mass_g : units;
}

std::string Describe(const SulfiteMaterial& material) {
  const absl::string_view salt = SulfiteSaltName(material.salt);
  switch (material.form) {
    case SulfiteForm::kPowder:
      return std::string(salt);
    case SulfiteForm::kSolution:
      return absl::StrCat(Print(material.solution_pct_wv, 1), " % w/v solution of ", salt);
    case SulfiteForm::kTablets:
      return absl::StrCat("tablets of ", Print(material.tablet_mass_g, 2), " g of ", salt);
  }
  return std::string(salt);
}

void SayMaterial(const SulfiteMaterial& material, Answer& answer) {
  answer.Rest(kSulfiteYield);
  const double yield = material.yield != 0 ? material.yield : TheoreticalYield(material.salt);
  answer.Assume(absl::StrCat("1 g of ", SulfiteSaltName(material.salt), " gives ", Print(yield, 3),
                             " g of SO2", material.yield != 0 ? "" : ", as a fresh one does"));
  answer.Mind(Caution::kSulfurDioxide);
  answer.Mind(Caution::kAllergen);
}

// Free SO2 that an addition leaves, with the range that sources give for the share.
void AddExpectedFree(double before_mg_l, double added_mg_l, double share, double lost_mg_l,
                     Answer& answer) {
  const double low = std::min(share, kLowestFreeShare);
  const double high = std::max(share, kHighestFreeShare);
  const double error = added_mg_l * std::max(share - low, high - share);
  const double free_mg_l = std::max(0.0, before_mg_l + added_mg_l * share - lost_mg_l);
  answer.Rest(kSulfiteFreeShare);
  answer.Add("free SO2 to expect", free_mg_l, 0, "mg/L", error + lost_mg_l);
  answer.Assume(absl::StrCat("of what is added ", Print(share * 100, 0),
                             " % stays free and the rest is bound at once (sources: 35 % in turbid "
                             "or sweet wine, 75 % in clean and dry)"));
}

absl::Status AddMolecular(double free_mg_l, const SulfiteWine& wine, Answer& answer) {
  Answer part;
  const absl::StatusOr<PkBand> pk = PkFor(wine, part);
  if (!pk.ok()) return pk.status();
  // A molecular target has told it already.
  if (!part.working.empty() && !answer.working.empty() &&
      answer.working.front() == part.working.front()) {
    part.working.clear();
  }
  answer.TakeOver(part);
  return AddMolecularSo2("molecular SO2 to expect", free_mg_l, wine, *pk, answer);
}

void AddTotal(const std::optional<double>& before_mg_l, double added_mg_l,
              const std::vector<Ceiling>& ceilings, Answer& answer) {
  if (!before_mg_l) {
    answer.Warn("total SO2 so far is not known: what follows counts this addition alone");
  }
  const double total_mg_l = before_mg_l.value_or(0) + added_mg_l;
  answer.Add(before_mg_l ? "total SO2 then" : "total SO2 of this addition alone", total_mg_l, 0,
             "mg/L");
  if (before_mg_l) {
    answer.Step(absl::StrCat("total SO2 = ", Print(*before_mg_l, 0), " + ", Print(added_mg_l, 1),
                             " = ", Print(total_mg_l, 0), " mg/L"));
  }
  AddRoom("total SO2", total_mg_l, ceilings, "mg/L", 0, answer);
}

absl::Status CheckCommon(double volume_l, double free_mg_l, const std::optional<double>& total_mg_l,
                         double free_share) {
  if (absl::Status bad =
          FirstError({CheckRange("volume", volume_l, 0.01, 1e6, "L"),
                      CheckRange("free SO2", free_mg_l, 0, 300, "mg/L"),
                      CheckRange("total SO2", total_mg_l.value_or(0), 0, 1000, "mg/L"),
                      CheckShare("free share", free_share, 0.1, 1)});
      !bad.ok()) {
    return bad;
  }
  if (total_mg_l && *total_mg_l < free_mg_l) {
    return absl::InvalidArgumentError(
        absl::StrCat("total SO2 of ", Print(*total_mg_l, 0), " mg/L is less than free SO2 of ",
                     Print(free_mg_l, 0), " mg/L: check the two readings"));
  }
  return absl::OkStatus();
}

// The free SO2 to reach, and for a molecular target what the other constants would have it.
struct FreeTarget {
  double free_mg_l = 0;
  std::optional<FreeNeeded> needed;
  PkBand pk;
};

// From whichever target was given.
absl::StatusOr<FreeTarget> TargetFree(const SulfiteDoseAsked& asked, Answer& answer) {
  if (asked.target_free_mg_l.has_value() == asked.target_molecular_mg_l.has_value()) {
    return absl::InvalidArgumentError("give one target: free SO2 or molecular SO2");
  }
  if (asked.target_free_mg_l) {
    if (absl::Status bad = CheckRange("target", *asked.target_free_mg_l, 0, 300, "mg/L");
        !bad.ok()) {
      return bad;
    }
    return FreeTarget{.free_mg_l = *asked.target_free_mg_l};
  }
  if (!asked.wine) {
    return absl::InvalidArgumentError("a molecular target needs the pH of the wine");
  }
  const absl::StatusOr<PkBand> pk = PkFor(*asked.wine, answer);
  if (!pk.ok()) return pk.status();
  const absl::StatusOr<FreeNeeded> needed =
      FreeNeededFor(*asked.target_molecular_mg_l, *asked.wine, *pk, answer);
  if (!needed.ok()) return needed.status();
  if (needed->most_mg_l > 300) {
    return absl::OutOfRangeError(absl::StrCat("that takes ", Print(needed->most_mg_l, 0),
                                              " mg/L of free SO2: lower the pH first"));
  }
  if (needed->most_mg_l > 60) answer.Warn("more than most wines bear: lower the pH first");
  return FreeTarget{.free_mg_l = needed->most_mg_l, .needed = *needed, .pk = *pk};
}

// The target by each constant, and how much less the least protective of them would add.
void AddTarget(const SulfiteDoseAsked& asked, const FreeTarget& target, Answer& answer) {
  if (!target.needed) return;
  AddFreeNeeded("free SO2 to reach", *target.needed, target.pk, answer);
  const double least_rise = std::max(0.0, target.needed->least_mg_l - asked.free_mg_l);
  const absl::StatusOr<double> units =
      UnitsForRise(asked.material, least_rise / asked.free_share, asked.volume_l);
  if (!units.ok() || target.pk.low == target.pk.high) return;
  answer.figures.push_back({"to add by the least protective", *units, AmountDecimals(*units),
                            std::string(UnitOf(asked.material))});
}

// The amount, as it is measured out.
void AddAmount(const SulfiteMaterial& material, double units, Answer& answer) {
  answer.figures.push_back({absl::StrCat("to add: ", Describe(material)), units,
                            AmountDecimals(units), std::string(UnitOf(material))});
  if (material.form != SulfiteForm::kPowder) {
    AddMass("salt in it", SaltOf(material, units), answer);
  } else if (units >= 0.5 && units <= 60) {
    answer.Warn(absl::StrCat("by spoon about ", Print(units / kTeaspoonG, 2),
                             " level teaspoons, which can be a fifth off: weigh it"));
  } else if (units > 0 && units < 0.5) {
    answer.Warn("too little to weigh on a kitchen scale: dissolve 10 g in 100 mL and measure that");
  }
}

}  // namespace

absl::StatusOr<Answer> AnswerSulfiteDose(const SulfiteDoseAsked& asked) {
  if (absl::Status bad =
          CheckCommon(asked.volume_l, asked.free_mg_l, asked.total_mg_l, asked.free_share);
      !bad.ok()) {
    return bad;
  }
  Answer answer;
  const absl::StatusOr<FreeTarget> target = TargetFree(asked, answer);
  if (!target.ok()) return target.status();
  const double target_mg_l = target->free_mg_l;
  const double rise_free = std::max(0.0, target_mg_l - asked.free_mg_l);
  const double added_mg_l = rise_free / asked.free_share;
  const absl::StatusOr<double> units = UnitsForRise(asked.material, added_mg_l, asked.volume_l);
  if (!units.ok()) return units.status();
  if (rise_free == 0) {
    answer.Warn(absl::StrCat("free SO2 is at the target of ", Print(target_mg_l, 1),
                             " mg/L or above it: nothing to add"));
  }
  answer.Step(absl::StrCat("SO2 to add = (", Print(target_mg_l, 1), " - ",
                           Print(asked.free_mg_l, 1), ") / ", Print(asked.free_share, 2), " = ",
                           Print(added_mg_l, 1), " mg/L"));
  answer.Step(absl::StrCat(Print(added_mg_l, 1), " mg/L x ", Print(asked.volume_l, 2), " L / ",
                           Print(*So2PerUnitMg(asked.material), 1), " mg of SO2 each = ",
                           Print(*units, AmountDecimals(*units)), " ", UnitOf(asked.material)));
  AddAmount(asked.material, *units, answer);
  answer.Add("SO2 added", added_mg_l, 1, "mg/L");
  AddTarget(asked, *target, answer);
  SayMaterial(asked.material, answer);
  AddExpectedFree(asked.free_mg_l, added_mg_l, asked.free_share, 0, answer);
  if (asked.wine) {
    const double free_then = asked.free_mg_l + rise_free;
    if (absl::Status bad = AddMolecular(free_then, *asked.wine, answer); !bad.ok()) return bad;
  }
  AddTotal(asked.total_mg_l, added_mg_l, asked.ceilings, answer);
  if (added_mg_l > 120) answer.Warn("an unusually large dose: check volume and readings");
  if (rise_free > 0) answer.Warn("measure free SO2 a day or two after mixing it in");
  return answer;
}

absl::StatusOr<Answer> AnswerSulfiteGiven(const SulfiteGivenAsked& asked) {
  if (absl::Status bad = FirstError(
          {CheckCommon(asked.volume_l, asked.free_mg_l, asked.total_mg_l, asked.free_share),
           CheckRange("months", asked.months, 0, 120, ""),
           CheckRange("loss in a month", asked.loss_mg_l_month, 0, 50, "mg/L")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<double> added = RiseOfUnits(asked.material, asked.amount, asked.volume_l);
  if (!added.ok()) return added.status();
  const double lost_mg_l = asked.loss_mg_l_month * asked.months;
  Answer answer;
  answer.Step(absl::StrCat("SO2 added = ", Print(asked.amount, AmountDecimals(asked.amount)), " ",
                           UnitOf(asked.material), " x ", Print(*So2PerUnitMg(asked.material), 1),
                           " mg / ", Print(asked.volume_l, 2), " L = ", Print(*added, 1), " mg/L"));
  answer.Add("SO2 added", *added, 1, "mg/L");
  SayMaterial(asked.material, answer);
  AddExpectedFree(asked.free_mg_l, *added, asked.free_share, lost_mg_l, answer);
  if (lost_mg_l > 0) {
    answer.Rest(kSulfiteLoss);
    answer.Assume(absl::StrCat(Print(asked.loss_mg_l_month, 1),
                               " mg/L of free SO2 lost in a month, ", Print(lost_mg_l, 0),
                               " mg/L in all"));
  } else {
    answer.Assume("nothing was lost since: tanks lose 2 to 5 mg/L a month, barrels 5 to 10");
    answer.Rest(kSulfiteLoss);
  }
  if (asked.wine) {
    const double free_now = std::max(0.0, asked.free_mg_l + *added * asked.free_share - lost_mg_l);
    if (absl::Status bad = AddMolecular(free_now, *asked.wine, answer); !bad.ok()) return bad;
  }
  AddTotal(asked.total_mg_l, *added, asked.ceilings, answer);
  answer.Warn("this is reckoned, not measured: measure free SO2");
  return answer;
}

}  // namespace rundlet::oenology

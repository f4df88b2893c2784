#include "core/oenology/answers/fining_answer.h"

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

constexpr double kMostBentoniteMgL = 3000;
constexpr double kMostWaterPct = 1;

// Holds a dose against its range, and says what belongs to the substance.
void Judge(Fining fining, double dose_mg_l, Answer& answer) {
  const FiningRange& range = RangeOf(fining);
  answer.Assume(absl::StrCat(range.name, ": ", Print(range.low_mg_l, 0), " to ",
                             Print(range.high_mg_l, 0), " mg/L (", range.source, "; ",
                             StandingWords(range.standing), ")"));
  if (dose_mg_l < range.low_mg_l) {
    answer.Warn(absl::StrCat(Print(dose_mg_l, 0), " mg/L is less than the usual ",
                             Print(range.low_mg_l, 0), " mg/L: it may do nothing"));
  } else if (fining == Fining::kBentonite && dose_mg_l > kMostBentoniteMgL) {
    answer.Warn("more bentonite than any source gives (3000 mg/L)");
  } else if (dose_mg_l > range.high_mg_l) {
    answer.Warn(absl::StrCat(Print(dose_mg_l, 0), " mg/L is more than the usual ",
                             Print(range.high_mg_l, 0),
                             " mg/L: too much strips the wine or stays in it"));
  }
  if (range.allergen) answer.Mind(Caution::kAllergen);
  if (fining == Fining::kChitosan) {
    answer.Warn("chitosan from shells is of crustaceans; that from a fungus is not. See the label");
  }
  if (fining == Fining::kOakChips) {
    answer.Rest(kOak);
    answer.Assume("one to eight weeks; taste every week and rack in time");
  } else {
    answer.Rest(kFiningRanges);
    answer.Warn("do a bench trial first, and take the smallest dose that works");
  }
  if (fining == Fining::kTannin) answer.Warn("tannin can taste hard for weeks");
  if (fining == Fining::kPvpp) answer.Warn("PVPP must all come out again: rack or filter");
}

absl::Status NothingToAdd(absl::string_view what) {
  return absl::InvalidArgumentError(absl::StrCat("a dose of 0 of ", what, ": nothing to add"));
}

void AddDose(absl::string_view label, double dose_mg_l, double mass_g, double volume_l,
             Answer& answer) {
  answer.Step(absl::StrCat(Print(dose_mg_l, 0), " mg/L x ", Print(volume_l, 2),
                           " L = ", PrintMass(mass_g)));
  AddMass(absl::StrCat("to add: ", label), mass_g, answer);
  answer.Add("dose", dose_mg_l, 0, "mg/L");
  answer.Add("dose per hL", dose_mg_l / 10, 1, "g/hL");
}

absl::Status AddSlurry(const FiningAsked& asked, double mass_g, Answer& answer) {
  const absl::StatusOr<Slurry> slurry = BentoniteSlurry(mass_g, asked.slurry_pct, asked.volume_l);
  if (!slurry.ok()) return slurry.status();
  answer.Step(absl::StrCat("water = ", PrintMass(mass_g), " / (10 x ", Print(asked.slurry_pct, 1),
                           " % w/v) = ", PrintVolume(slurry->water_l * 1000)));
  AddVolume("water to swell it in", slurry->water_l * 1000, answer);
  answer.Add("that water, of the wine", slurry->water_share_pct, 2, "%");
  if (slurry->water_share_pct > kMostWaterPct) {
    answer.Warn("more water than 1 % of the wine: take a thicker slurry");
  }
  answer.Assume(
      "clean water of 60 C, bentonite strewn into it and stirred, four hours to swell, not beyond "
      "the next day");
  answer.Rest(kBentoniteSlurry);
  answer.Mind(Caution::kHotGlass);
  return absl::OkStatus();
}

absl::Status AddStock(const FiningAsked& asked, double mass_g, Answer& answer) {
  if (asked.fining == Fining::kSilicaSol) {
    const absl::StatusOr<double> sol_ml =
        SilicaSolMl(asked.dose_mg_l, asked.stock_pct_wv.value_or(30), asked.volume_l);
    if (!sol_ml.ok()) return sol_ml.status();
    answer.Rest(kSilicaSol);
    AddVolume(absl::StrCat("as sol of ", Print(asked.stock_pct_wv.value_or(30), 0), " % w/w"),
              *sol_ml, answer);
    return absl::OkStatus();
  }
  if (!asked.stock_pct_wv) return absl::OkStatus();
  if (absl::Status bad = CheckRange("stock", *asked.stock_pct_wv, 0.01, 50, "% w/v"); !bad.ok()) {
    return bad;
  }
  AddVolume(absl::StrCat("as stock of ", Print(*asked.stock_pct_wv, 2), " % w/v"),
            mass_g / *asked.stock_pct_wv * 100, answer);
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<Answer> AnswerFining(const FiningAsked& asked) {
  if (asked.dose_mg_l == 0) return NothingToAdd(RangeOf(asked.fining).name);
  const absl::StatusOr<double> mass_g = FiningMass(asked.dose_mg_l, asked.volume_l);
  if (!mass_g.ok()) return mass_g.status();
  Answer answer;
  AddDose(RangeOf(asked.fining).name, asked.dose_mg_l, *mass_g, asked.volume_l, answer);
  if (absl::Status bad = AddStock(asked, *mass_g, answer); !bad.ok()) return bad;
  if (asked.fining == Fining::kBentonite) {
    if (absl::Status bad = AddSlurry(asked, *mass_g, answer); !bad.ok()) return bad;
  }
  Judge(asked.fining, asked.dose_mg_l, answer);
  if (!asked.ceilings.empty()) {
    AddRoom(RangeOf(asked.fining).name, asked.dose_mg_l, asked.ceilings, "mg/L", 0, answer);
  }
  return answer;
}

absl::StatusOr<Answer> AnswerTwoPartFining(const TwoPartAsked& asked) {
  if (asked.second != Fining::kChitosan && asked.second != Fining::kGelatineWhite &&
      asked.second != Fining::kGelatineRed) {
    return absl::InvalidArgumentError("after silica sol comes chitosan or gelatine");
  }
  FiningAsked first{.fining = Fining::kSilicaSol,
                    .volume_l = asked.volume_l,
                    .dose_mg_l = asked.silica_mg_l,
                    .stock_pct_wv = asked.sol_pct};
  absl::StatusOr<Answer> sol = AnswerFining(first);
  if (!sol.ok()) return sol.status();
  const FiningAsked second{.fining = asked.second,
                           .volume_l = asked.volume_l,
                           .dose_mg_l = asked.second_mg_l,
                           .stock_pct_wv = asked.second_stock_pct_wv,
                           .ceilings = asked.ceilings};
  const absl::StatusOr<Answer> other = AnswerFining(second);
  if (!other.ok()) return other.status();
  for (Figure& figure : sol->figures) figure.label = absl::StrCat("first, ", figure.label);
  for (Figure figure : other->figures) {
    figure.label = absl::StrCat("second, ", figure.label);
    sol->figures.push_back(std::move(figure));
  }
  sol->TakeOver(*other);
  sol->Assume(
      "the sol is stirred in first, the other an hour to a day later; never mixed together");
  return sol;
}

absl::StatusOr<Answer> AnswerBenchTrial(const BenchTrial& trial, double volume_l,
                                        std::optional<Fining> fining) {
  if (trial.stock_ml == 0) return NothingToAdd("the substance of the trial");
  const absl::StatusOr<TrialDose> dose = ScaleUp(trial, volume_l);
  if (!dose.ok()) return dose.status();
  Answer answer;
  answer.Step(absl::StrCat(Print(trial.stock_ml, 2), " mL x ", Print(trial.stock_pct_wv, 2),
                           " % x 10000 / ", Print(trial.sample_ml, 0),
                           " mL = ", Print(dose->dose_mg_l, 1), " mg/L"));
  answer.Step(absl::StrCat(Print(dose->dose_mg_l, 1), " mg/L x ", Print(volume_l, 2),
                           " L = ", PrintMass(dose->mass_g)));
  AddMass(absl::StrCat("to add: ", fining ? RangeOf(*fining).name : "what the stock was made of"),
          dose->mass_g, answer);
  AddVolume("or, of the same stock", dose->stock_ml, answer);
  answer.Add("dose", dose->dose_mg_l, 1, "mg/L");
  answer.Rest(kBenchTrial);
  answer.Assume("the vessel is mixed as well, and as cold, as the glass was");
  if (fining) Judge(*fining, dose->dose_mg_l, answer);
  return answer;
}

absl::StatusOr<Answer> AnswerCopper(const CopperAsked& asked) {
  if (asked.copper_mg_l == 0) return NothingToAdd("copper");
  if (absl::Status bad =
          FirstError({CheckRange("copper", asked.copper_mg_l, 0.02, 2, "mg/L", Guess::kSmaller),
                      CheckRange("copper now", asked.copper_now_mg_l.value_or(0), 0, 20, "mg/L"),
                      CheckRange("stock", asked.stock_pct_wv, 0.01, 10, "% w/v")});
      !bad.ok()) {
    return bad;
  }
  const absl::StatusOr<double> sulfate_mg = CopperSulfateMg(asked.copper_mg_l, asked.volume_l);
  if (!sulfate_mg.ok()) return sulfate_mg.status();
  Answer answer;
  answer.Step(absl::StrCat(Print(asked.copper_mg_l, 2), " mg/L x ", Print(asked.volume_l, 2),
                           " L / 0.2545 = ", Print(*sulfate_mg, 1),
                           " mg of copper sulfate pentahydrate"));
  AddVolume(absl::StrCat("to add: solution of ", Print(asked.stock_pct_wv, 2), " % w/v"),
            *sulfate_mg / asked.stock_pct_wv / 10, answer);
  answer.Add("copper sulfate pentahydrate in it", *sulfate_mg, 1, "mg");
  const double then_mg_l = asked.copper_now_mg_l.value_or(0) + asked.copper_mg_l;
  answer.Add(asked.copper_now_mg_l ? "copper then, at most" : "copper of this addition alone",
             then_mg_l, 2, "mg/L");
  answer.Rest(kCopperSulfate);
  answer.Assume("none of the copper falls out with what it binds: some does");
  if (!asked.copper_now_mg_l) {
    answer.Warn("the copper that is there already is not known: have it measured");
  }
  answer.Warn("smell a treated glass beside an untreated one first, and air the wine before that");
  answer.Mind(Caution::kCopper);
  AddRoom("copper", then_mg_l, asked.ceilings, "mg/L", 2, answer);
  return answer;
}

}  // namespace rundlet::oenology

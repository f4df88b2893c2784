#include "core/oenology/answers/scales_answer.h"

#include "absl/strings/str_cat.h"
#include "core/oenology/alcohol.h"
#include "core/oenology/must.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

struct Shown {
  Scale scale;
  absl::string_view label;
};

constexpr Shown kShown[] = {
    {Scale::kGravity, "specific gravity"},
    {Scale::kDensity, "density"},
    {Scale::kBrix, "Brix of a sugar solution"},
    {Scale::kPlato, "Plato"},
    {Scale::kBaume, "Baume"},
    {Scale::kOechsle, "Oechsle"},
    {Scale::kKmw, "Klosterneuburg"},
    {Scale::kSucroseSugar, "sugar, pure solution"},
    {Scale::kMustBrix, "refractometer reading, grape must"},
    {Scale::kMustSugar, "sugar, grape must"},
};

std::string Reading(Scale scale, double value) {
  return absl::StrCat(Print(value, ScaleDecimals(scale)), " ", ScaleUnit(scale));
}

// Scales of must count on the table of must; all others on sugar solutions.
bool OfMust(Scale scale) { return scale == Scale::kMustBrix || scale == Scale::kMustSugar; }

void StartFrom(Scale scale, double value, double rho, BaumeModulus modulus, Answer* answer) {
  answer->Rest(ScaleEquation(scale));
  answer->Step(scale == Scale::kDensity
                   ? absl::StrCat(Print(value, 2), " / 998.21 kg/m3 of water at 20 C = SG ",
                                  Print(rho / kWater20KgM3, 4))
                   : absl::StrCat(ScaleName(scale), " ", Reading(scale, value), " is ",
                                  Print(rho, 2), " kg/m3 at 20 C"));
  if (scale == Scale::kBaume) {
    answer->Assume(absl::StrCat("Baume by the modulus ", Print(ModulusOf(modulus), 2)));
  }
  answer->Assume("the reading holds for 20 C");
}

}  // namespace

absl::StatusOr<Answer> AnswerScales(Scale scale, double value, BaumeModulus modulus) {
  const absl::StatusOr<double> rho = DensityFrom(scale, value, modulus);
  if (!rho.ok()) return rho.status();
  Answer answer;
  StartFrom(scale, value, *rho, modulus, &answer);
  for (const Shown& shown : kShown) {
    const absl::StatusOr<double> reading = ReadingOf(shown.scale, *rho, modulus);
    if (!reading.ok()) {
      answer.Warn(absl::StrCat(shown.label, " is left out: ", reading.status().message()));
      continue;
    }
    absl::string_view unit = ScaleUnit(shown.scale);
    if (shown.scale == Scale::kGravity) unit = "";
    answer.Add(shown.label, *reading, ScaleDecimals(shown.scale), unit);
    answer.Rest(ScaleEquation(shown.scale));
    if (shown.scale == Scale::kBaume && scale != Scale::kBaume) {
      answer.Assume(absl::StrCat("Baume by the modulus ", Print(ModulusOf(modulus), 2)));
    }
  }
  if (*rho < 1000 && !OfMust(scale)) {
    answer.Warn(
        "lighter than water: there is alcohol in it, and scales of sugar say nothing about the "
        "sugar "
        "that is left");
  }
  answer.Assume(
      "grape must by the table of the OIV; it holds about a tenth less sugar than a pure solution "
      "of "
      "the same density");
  return answer;
}

absl::StatusOr<Answer> AnswerPotentialAlcohol(Scale scale, double value, BaumeModulus modulus) {
  const absl::StatusOr<double> rho = DensityFrom(scale, value, modulus);
  if (!rho.ok()) return rho.status();
  const absl::StatusOr<double> sugar = MustSugarGL(*rho);
  if (!sugar.ok()) return sugar.status();
  Answer answer;
  StartFrom(scale, value, *rho, modulus, &answer);
  answer.Step(absl::StrCat("a grape must of ", Print(*rho, 2), " kg/m3 holds ", Print(*sugar, 1),
                           " g/L of sugar"));
  answer.Rest(kMustSugar);
  answer.Rest(kPotentialAlcohol);
  struct Convention {
    SugarYield yield;
    absl::string_view label;
  };
  constexpr Convention kConventions[] = {{SugarYield::kEu1683, "potential alcohol (OIV, EU)"},
                                         {SugarYield::kFrench175, "older French convention"},
                                         {SugarYield::kCommon17, "common rule"},
                                         {SugarYield::kHigh165, "yeast of high yield"},
                                         {SugarYield::kTheory1543, "theory, never reached"}};
  for (const Convention& c : kConventions) {
    const absl::StatusOr<double> alcohol = PotentialAlcohol(*sugar, c.yield);
    if (!alcohol.ok()) return alcohol.status();
    answer.Add(c.label, *alcohol, 1, "% vol", c.yield == SugarYield::kEu1683 ? 0.5 : 0);
    answer.Step(absl::StrCat(Print(*sugar, 1), " / ", Print(GramsPerPercent(c.yield), 2), " = ",
                             Print(*alcohol, 2), " % vol: ", c.label));
  }
  answer.Add("sugar, grape must", *sugar, 0, "g/L");
  answer.Assume("all sugar ferments");
  return answer;
}

}  // namespace rundlet::oenology

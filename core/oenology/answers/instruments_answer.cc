#include "core/oenology/answers/instruments_answer.h"

#include <cmath>

#include "absl/strings/str_cat.h"
#include "core/oenology/alcohol.h"
#include "core/oenology/refractometer.h"
#include "core/oenology/water.h"

namespace rundlet::oenology {
namespace {

constexpr double kCorrectedError = 0.0003;

void AddMixture(const Mixture& m, Answer* answer) {
  answer->Add("alcohol", m.alcohol_pct, 1, "% vol", 0.5);
  answer->Add("gravity", m.gravity, 4, "");
  answer->Add("extract", m.extract_g_l, 0, "g/L", 5);
  answer->Add("extract by mass", m.extract_mass, 1, "%", 0.5);
}

void SayUnverified(Answer* answer) {
  answer->Warn(
      "derived from refractive indices, and not tried on wine: half a per cent by volume either "
      "way "
      "is our judgement, not a measurement");
  answer->Assume("the sample is at 20 C, clear and without gas");
  answer->Assume("extract bends light like sugar");
}

}  // namespace

absl::StatusOr<Answer> AnswerHydrometer(const HydrometerReading& reading,
                                        std::optional<double> wine_alcohol_pct) {
  const absl::StatusOr<double> jar = DensityInJar(reading);
  const absl::StatusOr<double> water = CorrectAsWater(reading);
  const absl::StatusOr<double> sucrose = CorrectAsSucrose(reading);
  if (!jar.ok()) return jar.status();
  if (!water.ok()) return water.status();
  if (!sucrose.ok()) return sucrose.status();
  Answer answer;
  answer.Step(absl::StrCat("in the jar at ", Print(reading.temperature_c, 1),
                           " C: ", Print(reading.gravity, 4), " x ",
                           Print(internal::WaterDensity(reading.calibration_c), 2), " kg/m3, less ",
                           Print(reading.glass_per_k * 1e6, 0),
                           " ppm per K for the glass = ", Print(*jar, 2), " kg/m3"));
  absl::StatusOr<double> at_20 = DensityAt20AsSucrose(reading);
  if (wine_alcohol_pct.has_value()) {
    const absl::StatusOr<double> wine = CorrectAsWine(reading, *wine_alcohol_pct);
    if (!wine.ok()) return wine.status();
    at_20 = DensityAt20AsWine(reading, *wine_alcohol_pct);
    answer.Add("corrected gravity, as dry wine", *wine, 4, "", kCorrectedError);
    answer.Rest(kHydrometerWine);
    answer.Assume(absl::StrCat("the wine expands like water with ", Print(*wine_alcohol_pct, 1),
                               " % vol of ethanol"));
  }
  if (!at_20.ok()) return at_20.status();
  answer.Add("corrected gravity, as sugar solution", *sucrose, 4, "", kCorrectedError);
  answer.Add("corrected gravity, as water", *water, 4, "");
  answer.Add("density at 20 C", *at_20, 1, "kg/m3", 0.3);
  answer.Add("specific gravity 20/20", *at_20 / kWater20KgM3, 4, "", kCorrectedError);
  answer.Step(absl::StrCat("at ", Print(reading.calibration_c, 1), " C: ", Print(*sucrose, 4),
                           " as sugar solution, ", Print(*water, 4), " as water"));
  answer.Rest(kHydrometerSucrose);
  answer.Rest(kHydrometerWater);
  answer.Rest(kWaterDensity);
  answer.Assume(absl::StrCat("the hydrometer is right at ", Print(reading.calibration_c, 1), " C"));
  answer.Assume("the sample holds no gas: bubbles lift the hydrometer");
  if (!wine_alcohol_pct.has_value() && reading.gravity < 1) {
    answer.Warn("lighter than water: give its alcohol to have it treated as a dry wine");
  }
  if (std::fabs(reading.temperature_c - reading.calibration_c) > 10) {
    answer.Warn("more than 10 K away from the hydrometer's own temperature: cool or warm a sample");
  }
  return answer;
}

absl::StatusOr<Answer> AnswerRefractometerTemperature(double brix, double temperature_c) {
  const absl::StatusOr<double> add = RefractometerTemperatureCorrection(brix, temperature_c);
  if (!add.ok()) return add.status();
  Answer answer;
  answer.Add("corrected reading", brix + *add, 1, "%", temperature_c > 20 ? 0.1 : 0.05);
  answer.Add("correction", *add, 2, "%");
  answer.Step(
      absl::StrCat(Print(brix, 2), " + (", Print(*add, 2), ") = ", Print(brix + *add, 2), " %"));
  answer.Assume("the instrument is made for 20 C and does not compensate by itself");
  answer.Assume("juice: no alcohol yet");
  if (temperature_c > 20) {
    answer.Warn("above 20 C the correction is 0.07 % per K from memory: measure near 20 C");
  } else if (temperature_c > 17) {
    answer.Warn(
        "between 17 and 20 C the correction is taken on a line: the table was read to 17 C");
  }
  if (brix < 10) answer.Warn("below 10 % the correction for 10 % is used");
  answer.Rest(kRefractometerTemperature);
  return answer;
}

absl::StatusOr<Answer> AnswerRefractometerWithGravity(double brix, double gravity) {
  const absl::StatusOr<Mixture> mixture = MixtureFromGravity(brix, gravity);
  if (!mixture.ok()) return mixture.status();
  Answer answer;
  AddMixture(*mixture, &answer);
  answer.Step(absl::StrCat(Print(mixture->alcohol_mass, 2), " % of ethanol and ",
                           Print(mixture->extract_mass, 2), " % of extract by mass together read ",
                           Print(brix, 2), " % and weigh SG ", Print(gravity, 4)));
  if (mixture->alcohol_pct == 0) {
    answer.Warn("the reading leaves no room for alcohol: this is juice, or a reading is wrong");
  }
  if (mixture->extract_g_l < 15 && mixture->alcohol_pct > 0) {
    answer.Warn("less extract than wine has: one of the readings is probably wrong");
  }
  SayUnverified(&answer);
  answer.Rest(kRefractometerAlcohol);
  answer.Rest(kExtract);
  return answer;
}

absl::StatusOr<Answer> AnswerRefractometerWithOriginal(double brix, double original_brix) {
  const absl::StatusOr<Mixture> mixture = MixtureFromOriginal(brix, original_brix);
  if (!mixture.ok()) return mixture.status();
  Answer answer;
  answer.Add("gravity", mixture->gravity, 3, "", 0.004);
  answer.Add("alcohol", mixture->alcohol_pct, 1, "% vol", 0.7);
  answer.Add("extract by mass", mixture->extract_mass, 1, "%", 0.5);
  answer.Step(absl::StrCat("from ", Print(original_brix, 2), " % in the juice, ",
                           Print(mixture->alcohol_mass, 2), " % of ethanol and ",
                           Print(mixture->extract_mass, 2), " % of extract by mass read ",
                           Print(brix, 2), " % now"));
  answer.Assume("nothing was added since the first reading");
  SayUnverified(&answer);
  answer.Warn("near dryness trust a hydrometer, not this");
  answer.Rest(kRefractometerFermenting);
  answer.Rest(kAlcoholBalling);
  return answer;
}

absl::StatusOr<Answer> AnswerFortified(double brix, double baume) {
  const absl::StatusOr<double> alcohol = FortifiedAlcohol(brix, baume);
  if (!alcohol.ok()) return alcohol.status();
  Answer answer;
  answer.Add("alcohol", *alcohol, 1, "% vol");
  answer.Step(absl::StrCat("1.646 x ", Print(brix, 2), " - 2.703 x ", Print(baume, 2),
                           " - 1.794 = ", Print(*alcohol, 2), " % vol"));
  answer.Assume("a young fortified wine like port: the relation was tried on nothing else");
  if (*alcohol < 16 || *alcohol > 24) {
    answer.Warn("not the strength of a fortified wine: the relation does not hold here");
  }
  answer.Rest(kRogersonSymington);
  return answer;
}

}  // namespace rundlet::oenology

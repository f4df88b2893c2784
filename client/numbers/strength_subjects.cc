// Alcohol, sugar left, energy.
#include "absl/status/status.h"
#include "client/numbers/subject.h"
#include "core/oenology/answers/alcohol_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

const Input kExtract = {"--extract", InputKind::kGPerL,
                        "extract without sugar, 18 to 30 g/L; 25 if not said"};

absl::StatusOr<Answer> Alcohol(const Values& values) {
  return oenology::AnswerAlcohol(values["from"], values["to"],
                                 values.Or("extract", oenology::kUsualSugarFreeExtractGL));
}

absl::StatusOr<Answer> Distillate(const Values& values) {
  const double temperature_c = values.Or("temperature", 20);
  if (const auto alcohol = values.Find("alcohol"))
    return oenology::AnswerDistillateDensity(*alcohol, temperature_c);
  if (!values.Has("density"))
    return absl::InvalidArgumentError("say --density in kg/m3, or --alcohol to go the other way");
  return oenology::AnswerDistillate(values["density"], temperature_c);
}

absl::StatusOr<Answer> SugarLeft(const Values& values) {
  return oenology::AnswerResidualSugar(values["gravity"], values["alcohol"],
                                       values.Or("extract", oenology::kUsualSugarFreeExtractGL));
}

absl::StatusOr<Answer> Energy(const Values& values) {
  return oenology::AnswerEnergy({.alcohol_pct = values["alcohol"],
                                 .sugar_g_l = values["sugar"],
                                 .acid_g_l = values["acid"],
                                 .glycerol_g_l = values["glycerol"]});
}

absl::StatusOr<Answer> WithoutSulfurDioxide(const Values& values) {
  return oenology::AnswerDensityWithoutSulfurDioxide(values["density"], values["so2"]);
}

}  // namespace

std::vector<Subject> StrengthSubjects() {
  return {
      {"alcohol",
       "alcohol from the density before and now, several ways",
       {{"--from", InputKind::kGravity, "before it fermented: 1.095, 23Brix", true},
        {"--to", InputKind::kGravity, "now: 0.996", true},
        kExtract},
       Alcohol},
      {"distillate",
       "alcohol of a distillate from its density, and back",
       {{"--density", InputKind::kDensityKgM3, "948kg/m3"},
        {"--alcohol", InputKind::kPercent, "in % vol, to get the density"},
        {"--temperature", InputKind::kTemperature, "20C if not said"}},
       Distillate},
      {"sugar-left",
       "sugar left, from density and alcohol",
       {{"--gravity", InputKind::kGravity, "now: 1.002", true},
        {"--alcohol", InputKind::kPercent, "as measured: 12.5%", true},
        kExtract},
       SugarLeft},
      {"energy",
       "energy per 100 mL",
       {{"--alcohol", InputKind::kPercent, "12.5%", true},
        {"--sugar", InputKind::kGPerL, "sugar left"},
        {"--acid", InputKind::kGPerL, "organic acids"},
        {"--glycerol", InputKind::kGPerL, "usually 5 to 10"}},
       Energy},
      {"wine-density",
       "the density of a wine without the weight of its sulfur dioxide",
       {{"--density", InputKind::kDensityKgM3, "996kg/m3", true},
        {"--so2", InputKind::kMgPerL, "total", true}},
       WithoutSulfurDioxide},
  };
}

}  // namespace rundlet::client

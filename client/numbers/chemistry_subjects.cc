// Sulfur dioxide and acids.
#include "absl/status/status.h"
#include "client/numbers/subject.h"
#include "core/oenology/answers/acids_answer.h"
#include "core/oenology/answers/sulfite_answer.h"

namespace rundlet::client {
namespace {

using oenology::Acid;
using oenology::Answer;

const Input kPh = {"--ph", InputKind::kPh, "3.4", true};
const Input kTemperature = {"--temperature", InputKind::kTemperature, "20C if not said"};
const Input kAlcohol = {"--alcohol", InputKind::kPercent, "12% if not said"};
const Input kPk = {"--pk", InputKind::kNumber, "a constant of your own, such as 1.81"};

oenology::SulfiteWine WineOf(const Values& values) {
  return {.ph = values["ph"],
          .temperature_c = values.Find("temperature"),
          .alcohol_pct = values.Find("alcohol"),
          .pk = values.Find("pk")};
}

absl::StatusOr<Answer> Molecular(const Values& values) {
  return oenology::AnswerMolecularSo2(values["free"], WineOf(values));
}

absl::StatusOr<Answer> Free(const Values& values) {
  return oenology::AnswerFreeForMolecular(values["molecular"], WineOf(values));
}

Acid AcidNamed(const std::string& word) {
  for (const Acid acid :
       {Acid::kSulfuric, Acid::kMalic, Acid::kCitric, Acid::kLactic, Acid::kAcetic}) {
    if (oenology::AcidName(acid) == word || oenology::AcidName(acid) == word + " acid") return acid;
  }
  return Acid::kTartaric;
}

absl::StatusOr<Answer> Acidity(const Values& values) {
  return oenology::AnswerAcidity(values["acidity"], AcidNamed(values.Word("as")));
}

absl::StatusOr<Answer> Titration(const Values& values) {
  return oenology::AnswerTitration(values["base"], values["normality"], values["sample"]);
}

}  // namespace

std::vector<Subject> ChemistrySubjects() {
  return {
      {"molecular",
       "molecular SO2 of a free SO2",
       {{"--free", InputKind::kMgPerL, "free SO2: 30mg/L", true}, kPh, kTemperature, kAlcohol, kPk},
       Molecular},
      {"free",
       "the free SO2 that a molecular SO2 needs",
       {{"--molecular", InputKind::kMgPerL, "0.6 to 0.8 as a rule", true},
        kPh,
        kTemperature,
        kAlcohol,
        kPk},
       Free},
      {"acidity",
       "an acidity as every acid",
       {{"acidity", InputKind::kGPerL, "6.2g/L", true},
        {"--as",
         InputKind::kWord,
         "tartaric (if not said), sulfuric, malic, citric, lactic or acetic",
         false,
         {"tartaric", "sulfuric", "malic", "citric", "lactic", "acetic"}}},
       Acidity},
      {"titration",
       "acidity from a titration",
       {{"--base", InputKind::kVolumeMl, "used up: 10.4mL", true},
        {"--normality", InputKind::kNumber, "of the base: 0.1", true},
        {"--sample", InputKind::kVolumeMl, "of juice or wine: 10mL", true}},
       Titration},
  };
}

}  // namespace rundlet::client

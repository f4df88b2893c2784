// Acid up and down.
#include "absl/status/status.h"
#include "client/dose/ceilings.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/answers/acids_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

// A target needs the acidity that is there; a change does not.
absl::StatusOr<oenology::AcidDoseAsked> AskedOf(const DoseCase& dose,
                                                rules::v1::Substance substance) {
  const Values& values = dose.values;
  if (values.Has("to") && !values.Has("ta")) {
    Values measured;
    std::vector<std::string> origins, gaps;
    if (absl::Status status = dose.wine.Fill(NeedAcidity(), measured, origins, gaps); !status.ok())
      return status;
  }
  return oenology::AcidDoseAsked{
      .volume_l = dose.wine.volume_l(),
      .ta_g_l = values.Find("ta"),
      .target_ta_g_l = values.Find("to"),
      .change_g_l = values.Find("by"),
      .ph = values.Find("ph"),
      .buffer_meq = values.Or("buffer", oenology::kUsualBufferMeq),
      .ceilings = CeilingsFor(dose, {.substance = substance, .per_g = true})};
}

rules::v1::Substance SubstanceOf(oenology::Acid acid) {
  switch (acid) {
    case oenology::Acid::kMalic:
      return rules::v1::SUBSTANCE_MALIC_ACID;
    case oenology::Acid::kCitric:
      return rules::v1::SUBSTANCE_CITRIC_ACID;
    case oenology::Acid::kLactic:
      return rules::v1::SUBSTANCE_LACTIC_ACID;
    default:
      return rules::v1::SUBSTANCE_TARTARIC_ACID;
  }
}

template <oenology::Acid acid>
absl::StatusOr<Answer> Acid(const DoseCase& dose) {
  const auto asked = AskedOf(dose, SubstanceOf(acid));
  if (!asked.ok()) return asked.status();
  return oenology::AnswerAcidDose(acid, *asked);
}

template <oenology::Carbonate carbonate>
absl::StatusOr<Answer> Carbonate(const DoseCase& dose) {
  const auto asked = AskedOf(dose, rules::v1::SUBSTANCE_ACID_REDUCTION);
  if (!asked.ok()) return asked.status();
  return oenology::AnswerCarbonateDose(carbonate, *asked);
}

DoseSubject AcidSubject(const char* word, const char* about, const char* name,
                        absl::StatusOr<Answer> (*work)(const DoseCase&)) {
  return {word,
          about,
          {NeedAcidity(false), NeedPh(false)},
          {{"--to", InputKind::kAcidity, "titratable acidity to reach, as tartaric"},
           {"--by", InputKind::kGPerL, "by how much to change it: 0.5g/L, as tartaric"},
           {"--buffer", InputKind::kNumber, "buffer capacity in meq/L per pH; 45 if not said"}},
          name,
          name,
          work};
}

}  // namespace

std::vector<DoseSubject> AcidDoses() {
  using oenology::Acid, oenology::Carbonate;
  return {
      AcidSubject("tartaric", "tartaric acid, acidity up", "tartaric acid",
                  client::Acid<Acid::kTartaric>),
      AcidSubject("malic", "malic acid, acidity up", "malic acid", client::Acid<Acid::kMalic>),
      AcidSubject("citric", "citric acid, acidity up", "citric acid", client::Acid<Acid::kCitric>),
      AcidSubject("bicarbonate", "potassium bicarbonate, acidity down", "potassium bicarbonate",
                  client::Carbonate<Carbonate::kPotassiumBicarbonate>),
      AcidSubject("carbonate", "potassium carbonate, acidity down", "potassium carbonate",
                  client::Carbonate<Carbonate::kPotassiumCarbonate>),
      AcidSubject("chalk", "calcium carbonate, acidity down", "calcium carbonate",
                  client::Carbonate<Carbonate::kCalciumCarbonate>)};
}

}  // namespace rundlet::client

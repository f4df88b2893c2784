// Sugar, concentrate, water, spirit.
#include "absl/status/status.h"
#include "client/dose/dose_subject.h"
#include "core/oenology/adjust.h"
#include "core/oenology/answers/adjust_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

struct BrixPair {
  double now = 0;
  double target = 0;
};

absl::StatusOr<BrixPair> BrixNowAndTarget(const Values& values) {
  const auto now = BrixOf(values["density"]);
  if (!now.ok()) return now.status();
  const auto target = BrixOf(values["to"]);
  if (!target.ok()) return target.status();
  return BrixPair{*now, *target};
}

absl::StatusOr<Answer> Sugar(const DoseCase& dose) {
  const auto brix = BrixNowAndTarget(dose.values);
  if (!brix.ok()) return brix.status();
  return oenology::AnswerSugar(dose.wine.volume_l(), brix->now, brix->target);
}

absl::StatusOr<Answer> SugarForAlcohol(const DoseCase& dose) {
  const Values& values = dose.values;
  return oenology::AnswerSugarForAlcohol(dose.wine.volume_l(), values["potential"], values["by"],
                                         values.Or("per-percent", oenology::kSugarForOnePct));
}

absl::StatusOr<Answer> Concentrate(const DoseCase& dose) {
  const auto brix = BrixNowAndTarget(dose.values);
  if (!brix.ok()) return brix.status();
  return oenology::AnswerConcentrate(dose.wine.volume_l(), brix->now, brix->target,
                                     dose.values["concentrate"]);
}

absl::StatusOr<Answer> Water(const DoseCase& dose) {
  const auto brix = BrixNowAndTarget(dose.values);
  if (!brix.ok()) return brix.status();
  return oenology::AnswerWater(dose.wine.volume_l(), brix->now, brix->target);
}

absl::StatusOr<Answer> Spirit(const DoseCase& dose) {
  return oenology::AnswerSpirit(dose.wine.volume_l(), dose.values["alcohol"], dose.values["spirit"],
                                dose.values["to"]);
}

const Input kTo = {"--to", InputKind::kGravity, "density to reach: 1.090, 22Brix", true};

}  // namespace

std::vector<DoseSubject> SugarDoses() {
  return {
      {"sugar", "dry sugar to a density of must", {NeedGravity()}, {kTo}, "sugar", "sugar", Sugar},
      {"sugar-for-alcohol",
       "dry sugar for more alcohol",
       {},
       {{"--by", InputKind::kPercent, "% vol more", true},
        {"--potential", InputKind::kPercent, "% vol that is there or to come", true},
        {"--per-percent", InputKind::kGPerL, "sugar that makes one % vol; 16.83 if not said"}},
       "sugar",
       "sugar",
       SugarForAlcohol},
      {"concentrate",
       "concentrate to a density of must",
       {NeedGravity()},
       {kTo, {"--concentrate", InputKind::kBrix, "Brix of the concentrate: 68", true}},
       "concentrate",
       "grape concentrate",
       Concentrate},
      {"water",
       "water to lower the density of must",
       {NeedGravity()},
       {kTo},
       "water",
       "water",
       Water},
      {"spirit",
       "spirit to a strength",
       {NeedAlcohol()},
       {{"--to", InputKind::kPercent, "strength to reach: 18%", true},
        {"--spirit", InputKind::kPercent, "strength of the spirit: 96%", true}},
       "spirit",
       "spirit",
       Spirit}};
}

}  // namespace rundlet::client

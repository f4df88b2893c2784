#include "client/dose/blend_case.h"

#include <utility>

#include "absl/strings/str_cat.h"
#include "client/dose/dose_subject.h"
#include "client/dose/wine_at_hand.h"
#include "client/numbers/fermentation.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/range.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// One property that a blend can be asked for.
struct Property {
  const char* name;
  const char* unit;
  int decimals;
  double scale;  // a miss of that much counts as one
  double most;   // that can be meant
  std::string BlendWords::*word;
  Need need;
};

// Of several wines none can be said on the command line: the option of that name is the goal.
Need ReadingOnly(Need need) {
  need.about = "";
  return need;
}

const std::vector<Property>& Properties() {
  static const std::vector<Property>* const kAll = new std::vector<Property>{
      {"alcohol", "% vol", 1, 0.5, 100, &BlendWords::alcohol, ReadingOnly(NeedAlcohol())},
      {"acidity, as tartaric", "g/L", 2, 0.3, 50, &BlendWords::acidity, ReadingOnly(NeedAcidity())},
      {"sugar",
       "g/L",
       1,
       2,
       500,
       &BlendWords::sugar,
       {"sugar", v1::READING_KIND_RESIDUAL_SUGAR, InputKind::kGPerL, "", "rs=2g/L"}},
      {"total SO2",
       "mg/L",
       0,
       10,
       1000,
       &BlendWords::total_so2,
       {"total", v1::READING_KIND_TOTAL_SO2, InputKind::kMgPerL, "", "tso2=80mg/L"}},
  };
  return *kAll;
}

absl::Status ReadBounds(const Property& property, const std::string& word,
                        oenology::BlendGoal& goal) {
  const auto read = [&](const std::string& text, std::optional<double>& value) -> absl::Status {
    if (text.empty()) return absl::OkStatus();
    const auto number = ReadInput(property.need.kind, text);
    if (!number.ok())
      return absl::Status(number.status().code(),
                          absl::StrCat(property.name, ": ", number.status().message()));
    value = *number;
    return oenology::CheckRange(property.name, *number, 0, property.most, property.unit);
  };
  const size_t dots = word.find("..");
  if (dots == std::string::npos) return read(word, goal.target);
  if (absl::Status status = read(word.substr(0, dots), goal.low); !status.ok()) return status;
  return read(word.substr(dots + 2), goal.high);
}

}  // namespace

absl::StatusOr<std::vector<oenology::BlendGoal>> GoalsOf(const BlendWords& words) {
  std::vector<oenology::BlendGoal> goals;
  for (const Property& property : Properties()) {
    const std::string& word = words.*property.word;
    if (word.empty()) continue;
    oenology::BlendGoal goal{.name = property.name,
                             .unit = property.unit,
                             .decimals = property.decimals,
                             .scale = property.scale};
    if (absl::Status status = ReadBounds(property, word, goal); !status.ok()) return status;
    goals.push_back(std::move(goal));
  }
  return goals;
}

absl::StatusOr<oenology::BlendWine> WineFor(const Planner& planner, const VesselAmount& vessel,
                                            const BlendWords& words) {
  const Fold& fold = planner.moment().fold();
  const auto wine = WineAtHand::Of(fold, fold.interner().Find(vessel.vessel), planner.now());
  if (!wine.ok()) return wine.status();
  oenology::BlendWine result{.name = wine->vessel(), .available_l = wine->volume_l()};
  if (!vessel.whole) {
    result.available_l = static_cast<double>(vessel.volume_ul) * 1e-6;
    if (result.available_l > wine->volume_l()) {
      return absl::FailedPreconditionError(
          absl::StrCat(wine->vessel(), " holds ", oenology::PrintVolume(wine->volume_l() * 1000),
                       " and cannot give ", oenology::PrintVolume(result.available_l * 1000)));
    }
  }
  for (const Property& property : Properties()) {
    if ((words.*property.word).empty()) continue;
    Values values;
    std::vector<std::string> origins, gaps;
    if (absl::Status status = wine->Fill(property.need, values, origins, gaps); !status.ok())
      return status;
    result.values.push_back(values.Find(property.need.key));
  }
  return result;
}

oenology::ToppingWine ToppingWineIn(const Planner& planner, Handle vessel) {
  const Fold& fold = planner.moment().fold();
  const Holding& holding = fold.state().holding(vessel);
  oenology::ToppingWine result;
  result.name = fold.directory().NameOf(vessel, fold.sequence());
  result.volume_l = static_cast<double>(holding.volume_ul) * 1e-6;
  if (const Directory::Known* lot = fold.directory().Find(holding.lot); lot != nullptr) {
    result.lot = lot->thing.lot().name();
    result.colour = lot->thing.lot().colour();
  }
  for (const KnownReading& reading : KnownReadings(fold, vessel)) {
    if (reading.changed_by != kNone) continue;
    const double value = static_cast<double>(reading.value_micro) * 1e-6;
    if (reading.kind == v1::READING_KIND_ALCOHOL) result.alcohol_pct = value;
    if (reading.kind == v1::READING_KIND_RESIDUAL_SUGAR) result.sugar_g_l = value;
  }
  if (const std::vector<DensityStep> steps = FermentationIn(fold, vessel); !steps.empty())
    result.gravity = steps.back().gravity;
  return result;
}

}  // namespace rundlet::client

#ifndef RUNDLET_CORE_RULES_JUDGE_H_
#define RUNDLET_CORE_RULES_JUDGE_H_

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/rules/findings.h"

// One rule against one wine: a file for each kind of rule. Only for findings.cc.
namespace rundlet::rules {

using Filled = std::vector<std::pair<absl::string_view, std::string>>;  // {word}, what stands there

struct Case {
  const Fold& fold;
  const WineIndex& index;
  const Materials& materials;
  absl::Span<const std::string> jurisdictions;
  const Wine& wine;
  const WineClass& wine_class;
  bool for_home;  // it is not for sale, so the law on wine that is sold is advice
  int64_t now_us;
  const KnownRule& known;
  std::vector<Finding>& findings;

  const v1::Rule& rule() const { return known.rule; }

  // Writes a finding down. `entry` is what caused it.
  Finding& Add(RowId entry, Filled filled) const;

  // Whether an event is one of what a happening names.
  bool Is(const WineEvent& event, const v1::Happening& happening) const;
  // "silica sol", "degassing", "a note"
  std::string NameOf(const WineEvent& event) const;
  // The latest reading of a kind among the first `count` events; null if there is none.
  const WineEvent* LastReading(rundlet::v1::ReadingKind kind, size_t count) const;
  const WineEvent* LastReading(rundlet::v1::ReadingKind kind) const {
    return LastReading(kind, wine.events.size());
  }
  // The latest event of a happening; null if there is none.
  const WineEvent* Last(const v1::Happening& happening) const;
  // All that people wrote of an observation, in lower case; empty where nothing is kept of it.
  std::string SeenText(const WineEvent& event) const;
};

// A reading in the unit that rules are written in, millionths: density as specific gravity,
// temperature in Celsius, all others as they are read. Nothing where it cannot be told.
std::optional<int64_t> ValueOf(const WineEvent& reading);

// "20 minutes", "6 hours", "3 days".
std::string Duration(int64_t us);

inline constexpr int64_t kMinuteUs = 60'000'000;
inline constexpr int64_t kWaterGravityMicro = 1'000'000;

// The latest temperature that was read while the wine fermented: the density beside or before it
// was above that of water, and yeast was in it or the density had fallen. Null if there is none.
const WineEvent* FermentingTemperature(const Case& c);

// Between which temperatures, in thousandths of a degree Celsius, the yeasts in the wine ferment by
// their makers' word, and which of them says so.
struct YeastRange {
  std::optional<int64_t> coldest_millic, warmest_millic;
  std::string coldest_yeast, warmest_yeast;
};
YeastRange YeastRangeOf(const Case& c);

// The rules that a wine breaks, by kind.
void JudgeLegalLimit(const Case& c);
void JudgeStatement(const Case& c);
void JudgeRange(const Case& c);
void JudgeOrder(const Case& c);
void JudgeCondition(const Case& c);
void JudgeWatch(const Case& c);
void JudgePresence(const Case& c);
void JudgeMixed(const Case& c);

// The parts of JudgeWatch that have files of their own.
void JudgeSanitised(const Case& c);
void JudgeRinsed(const Case& c);
void JudgeHotGlass(const Case& c, const v1::HotGlass& rule);  // for an empty vessel too
void JudgeCalibration(const Case& c);
void JudgeUncounted(const Case& c);
void JudgeYeastRange(const Case& c, const v1::YeastRange& rule);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_JUDGE_H_

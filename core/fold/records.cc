#include "core/fold/records.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "core/entry/limits.h"

namespace rundlet {
namespace {

bool SpeaksOfMalolactic(const std::string& text) {
  return absl::StrContains(absl::AsciiStrToLower(text), "malolactic");
}

bool RulesAskFor(const v1::Entry& entry) {
  const auto& impressions = entry.observation().impressions();
  return SpeaksOfMalolactic(entry.note()) ||
         std::any_of(impressions.begin(), impressions.end(), [](const v1::Impression& impression) {
           return impression.aspect() == v1::ASPECT_CLARITY ||
                  SpeaksOfMalolactic(impression.text());
         });
}

bool IsRecord(const v1::Entry& entry) {
  switch (entry.body_case()) {
    case v1::Entry::kObservation:
      return RulesAskFor(entry);
    case v1::Entry::kSanitised:
    case v1::Entry::kGearHanded:
    case v1::Entry::kGearBooked:
    case v1::Entry::kCalibrated:
    case v1::Entry::kPlanStarted:
    case v1::Entry::kPlanStepDone:
    case v1::Entry::kPlanStepSkipped:
    case v1::Entry::kPlanShifted:
    case v1::Entry::kPlanEnded:
    case v1::Entry::kHouseRuleSet:
    case v1::Entry::kOccasionClosed:
    case v1::Entry::kContributed:
    case v1::Entry::kCostEntered:
    case v1::Entry::kInvited:
    case v1::Entry::kDeviceEnrolled:
    case v1::Entry::kPeriodClosed:
    case v1::Entry::kPeriodReopened:
      return true;
    case v1::Entry::kMaterialReceived:
      return entry.material_received().cost_cents() > 0;
    case v1::Entry::kWineReceived:
      return entry.wine_received().cost_cents() > 0;
    case v1::Entry::kBottlesTaken:
      return !entry.bottles_taken().member_id().empty() || entry.bottles_taken().left_ul() > 0;
    case v1::Entry::kAddition:
      return std::any_of(entry.addition().lines().begin(), entry.addition().lines().end(),
                         [](const v1::AdditionLine& line) { return line.has_mixed_at_millic(); });
    default:
      return false;
  }
}

}  // namespace

void Records::Add(RowId row, const v1::Entry& entry) {
  if (entry.format_version() > kFormatVersion) return;
  const bool is_record = IsRecord(entry);
  if (!is_record && !entry.has_anyway()) return;
  v1::Entry& kept = kept_[row];
  if (is_record) {
    kept = entry;
    for (auto clear : {&v1::Entry::clear_entry_id, &v1::Entry::clear_cellar_id,
                       &v1::Entry::clear_author_id, &v1::Entry::clear_device_id,
                       &v1::Entry::clear_previous_hash, &v1::Entry::clear_amendment})
      (kept.*clear)();
  } else {
    *kept.mutable_anyway() = entry.anyway();
  }
}

}  // namespace rundlet

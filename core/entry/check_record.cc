#include "core/entry/check_record.h"

#include <set>
#include <string>

#include "core/entry/limits.h"

namespace rundlet {
namespace {

constexpr int kMaxSteps = 200;
constexpr int kMaxHours = 24 * 366 * 5;  // five years

// A short text: a name, a reason, an agent.
void CheckText(Checker& check, const std::string& text, absl::string_view what) {
  check.Need(text.size() <= 4 * kMaxNameBytes, what);
}

void CheckTime(Checker& check, int64_t at_us, absl::string_view what) {
  check.Need(at_us >= kMinTimeUs && at_us <= kMaxTimeUs, what);
}

void CheckStep(Checker& check, const v1::PlanStep& step, std::set<std::string>& keys) {
  check.Need(!step.key().empty() && step.key().size() <= kMaxNameBytes, "a key of each step");
  check.Need(step.after_key().empty() || keys.contains(step.after_key()),
             "a step that comes after an earlier one of the plan");
  check.Need(keys.insert(step.key()).second, "each key of a step once");
  check.Need(!step.title().empty(), "a title of each step");
  CheckText(check, step.title(), "a title of at most 800 bytes");
  CheckText(check, step.person(), "a person of at most 800 bytes");
  check.Need(v1::StepAct_IsValid(step.act()), "what fulfils the step");
  check.Need(v1::TreatmentKind_IsValid(step.treatment()), "the kind of treatment");
  check.Need(step.after_hours() >= 0 && step.after_hours() <= kMaxHours,
             "a wait of at most five years");
  check.Need(step.doses_size() <= kMaxLines && step.gates_size() <= kMaxLines,
             "at most 256 doses and gates");
  for (const v1::StepDose& dose : step.doses()) {
    check.Need(!dose.material().empty(), "the material of a dose");
    CheckText(check, dose.material(), "a material of at most 800 bytes");
    check.Need(
        v1::Dimension_IsValid(dose.dimension()) &&
            (dose.base() == 0) == (dose.dimension() == v1::DIMENSION_UNSPECIFIED),
        "a dose by mass, volume or count, or none");
    check.AtMost(dose.base(), kMaxAmount, "a dose");
    check.Need(dose.per_ul() >= 0 && dose.per_ul() <= kMaxVolumeUl, "a dose by a volume of wine");
  }
  for (const v1::StepGate& gate : step.gates()) {
    check.Need(gate.kind() != v1::READING_KIND_UNSPECIFIED && v1::ReadingKind_IsValid(gate.kind()),
               "what is measured before a step");
    check.Need(gate.unit() != v1::READING_UNIT_UNSPECIFIED && v1::ReadingUnit_IsValid(gate.unit()),
               "the unit of what is measured before a step");
    check.Need(gate.bound_case() != v1::StepGate::BOUND_NOT_SET, "a bound of each gate");
    for (const int64_t micro : {gate.at_most_micro(), gate.at_least_micro()})
      check.Need(micro >= -kMaxReadingMicro && micro <= kMaxReadingMicro, "a bound within reason");
    check.Need(gate.readings() >= 0 && gate.readings() <= kMaxLines, "at most 256 readings");
    check.Need(gate.apart_hours() >= 0 && gate.apart_hours() <= kMaxHours,
               "readings at most five years apart");
  }
}

void CheckPlan(Checker& check, const v1::PlanStarted& plan) {
  check.NeedId(plan.plan_id(), "the plan");
  check.NeedId(plan.lot_id(), "the lot");
  check.Need(plan.steps_size() >= 1 && plan.steps_size() <= kMaxSteps,
             "at least one step, at most 200");
  CheckText(check, plan.name(), "a name of at most 800 bytes");
  std::set<std::string> keys;
  for (const v1::PlanStep& step : plan.steps()) CheckStep(check, step, keys);
}

void CheckSanitised(Checker& check, const v1::Sanitised& sanitised) {
  check.Need(sanitised.subject_ids_size() >= 1 && sanitised.subject_ids_size() <= kMaxLines,
             "what was sanitised");
  for (const std::string& id : sanitised.subject_ids()) check.NeedId(id, "what was sanitised");
  check.OptionalId(sanitised.material_lot_id(), "the packet");
  check.AtMost(sanitised.contact_min(), kMaxDurationMin, "a contact time, in minutes,");
  CheckText(check, sanitised.agent(), "an agent of at most 800 bytes");
  CheckText(check, sanitised.strength(), "a strength of at most 800 bytes");
  check.Need(sanitised.temperature_millic() >= kMinTemperatureMillic &&
                 sanitised.temperature_millic() <= kMaxTemperatureMillic,
             "a temperature from -50 to 200 C");
}

void CheckContribution(Checker& check, const v1::Contributed& contributed) {
  check.NeedId(contributed.member_id(), "who put it in");
  check.NeedId(contributed.lot_id(), "the lot");
  check.Need(contributed.kind() != v1::CONTRIBUTION_KIND_UNSPECIFIED &&
                 v1::ContributionKind_IsValid(contributed.kind()),
             "money, fruit, work or bottles");
  check.AtMost(contributed.worth_cents(), kMaxCents, "what it counts for, in cents,");
  check.AtMost(contributed.amount(), kMaxAmount, "an amount");
  CheckText(check, contributed.what(), "a text of at most 800 bytes");
}

void CheckCostEntered(Checker& check, const v1::CostEntered& cost) {
  check.OptionalId(cost.lot_id(), "the lot");
  check.NeedAmount(cost.cents(), kMaxCents, "a cost, in cents,");
  check.Need(!cost.what().empty(), "what it was for");
  CheckText(check, cost.what(), "a text of at most 800 bytes");
}

void CheckBooking(Checker& check, const v1::GearBooked& booked) {
  check.NeedId(booked.equipment_id(), "the gear");
  check.NeedId(booked.member_id(), "who wants it");
  CheckTime(check, booked.from_us(), "the time from which it is wanted");
  CheckTime(check, booked.until_us(), "the time until which it is wanted");
  check.Need(booked.until_us() > booked.from_us(), "an end after the beginning");
  CheckText(check, booked.purpose(), "a purpose of at most 800 bytes");
}

void CheckCalibration(Checker& check, const v1::Calibrated& calibrated) {
  check.NeedId(calibrated.equipment_id(), "the instrument");
  check.Need(calibrated.unit() != v1::READING_UNIT_UNSPECIFIED &&
                 v1::ReadingUnit_IsValid(calibrated.unit()),
             "the unit");
  for (const int64_t micro : {calibrated.expected_micro(), calibrated.found_micro()})
    check.Need(micro >= -kMaxReadingMicro && micro <= kMaxReadingMicro, "a value within reason");
  CheckText(check, calibrated.against(), "a text of at most 800 bytes");
  check.Need(calibrated.due_on().size() <= kMaxNameBytes, "a date");
}

}  // namespace

bool CheckRecord(Checker& check, const v1::Entry& entry) {
  const auto step = [&](const std::string& plan_id, const std::string& key) {
    check.NeedId(plan_id, "the plan");
    check.Need(!key.empty() && key.size() <= kMaxNameBytes, "the step's key");
  };
  switch (entry.body_case()) {
    case v1::Entry::kSanitised:
      CheckSanitised(check, entry.sanitised());
      return true;
    case v1::Entry::kGearHanded:
      check.NeedId(entry.gear_handed().equipment_id(), "the gear");
      check.OptionalId(entry.gear_handed().member_id(), "who has it");
      if (entry.gear_handed().until_us() != 0)
        CheckTime(check, entry.gear_handed().until_us(), "the time until which it is lent");
      CheckText(check, entry.gear_handed().condition(), "a condition of at most 800 bytes");
      return true;
    case v1::Entry::kGearBooked:
      CheckBooking(check, entry.gear_booked());
      return true;
    case v1::Entry::kCalibrated:
      CheckCalibration(check, entry.calibrated());
      return true;
    case v1::Entry::kPlanStarted:
      CheckPlan(check, entry.plan_started());
      return true;
    case v1::Entry::kPlanStepDone:
      step(entry.plan_step_done().plan_id(), entry.plan_step_done().key());
      return true;
    case v1::Entry::kPlanStepSkipped:
      step(entry.plan_step_skipped().plan_id(), entry.plan_step_skipped().key());
      return true;
    case v1::Entry::kPlanShifted:
      step(entry.plan_shifted().plan_id(), entry.plan_shifted().key());
      check.Need(
          entry.plan_shifted().hours() >= -kMaxHours && entry.plan_shifted().hours() <= kMaxHours,
          "a shift of at most five years");
      return true;
    case v1::Entry::kPlanEnded:
      check.NeedId(entry.plan_ended().plan_id(), "the plan");
      return true;
    case v1::Entry::kOccasionClosed:
      check.NeedId(entry.occasion_closed().bin_id(), "the occasion");
      return true;
    case v1::Entry::kContributed:
      CheckContribution(check, entry.contributed());
      return true;
    case v1::Entry::kCostEntered:
      CheckCostEntered(check, entry.cost_entered());
      return true;
    case v1::Entry::kHouseRuleSet:
      check.Need(!entry.house_rule_set().rule_id().empty() &&
                     entry.house_rule_set().rule_id().size() <= kMaxNameBytes,
                 "the rule's id");
      return true;
    default:
      return false;
  }
}

void CheckAnyway(Checker& check, const v1::Anyway& anyway) {
  check.Need(anyway.rule_ids_size() <= kMaxLines, "at most 256 rules");
  for (const std::string& id : anyway.rule_ids())
    check.Need(!id.empty() && id.size() <= kMaxNameBytes, "the id of each rule");
  check.Need(!anyway.reason().empty(), "the reason why it was done all the same");
  CheckText(check, anyway.reason(), "a reason of at most 800 bytes");
}

}  // namespace rundlet

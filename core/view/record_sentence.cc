#include "core/view/record_sentence.h"

#include <string>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"
#include "core/quantity/reading.h"
#include "core/quantity/when.h"
#include "core/rights/rights.h"
#include "core/view/wire_units.h"

namespace rundlet {
namespace {

// A key as people compare it: its first bytes.
std::string KeyMark(const std::string& key) { return absl::BytesToHexString(key.substr(0, 8)); }

class RecordWords {
 public:
  RecordWords(const Fold& fold, const v1::Entry& entry) : fold_(fold), entry_(entry) {}

  std::string Name(const std::string& id) const {
    const auto uuid = Uuid::FromBytes(id);
    if (!uuid.ok()) return "?";
    const Handle handle = fold_.interner().Find(*uuid);
    return handle == kNoHandle ? absl::StrCat("unknown ", uuid->ToString())
                               : fold_.directory().NameOf(handle, fold_.sequence());
  }

  std::string Time(int64_t at_us) const {
    return FormatWhen({.at_us = at_us, .utc_offset_min = entry_.utc_offset_min()});
  }

  // The name of a plan by its id, as the first entry of the order that starts it says.
  std::string Plan(const std::string& plan_id) const {
    const v1::Entry* first = nullptr;
    RowId first_row = kNone;
    for (const auto& [row, kept] : fold_.records().all()) {
      if (!kept.has_plan_started() || kept.plan_started().plan_id() != plan_id) continue;
      if (first != nullptr && !fold_.sequence().Before(row, first_row)) continue;
      first = &kept;
      first_row = row;
    }
    return first == nullptr ? "an unknown plan" : first->plan_started().name();
  }

  static std::string With(absl::string_view before, const std::string& text) {
    return text.empty() ? "" : absl::StrCat(before, text);
  }

  std::string Sanitised() const {
    const v1::Sanitised& s = entry_.sanitised();
    const std::string things = absl::StrJoin(
        s.subject_ids(), ", ",
        [this](std::string* out, const std::string& id) { absl::StrAppend(out, Name(id)); });
    return absl::StrCat("sanitised ", things, With(" with ", s.agent()), With(" at ", s.strength()),
                        s.contact_min() > 0 ? absl::StrCat(" for ", s.contact_min(), " min") : "",
                        s.rinsed() ? ", rinsed" : "");
  }

  std::string Handed() const {
    const v1::GearHanded& h = entry_.gear_handed();
    if (h.member_id().empty())
      return absl::StrCat(Name(h.equipment_id()), " is back", With("; ", h.condition()));
    return absl::StrCat(Name(h.equipment_id()), " is with ", Name(h.member_id()),
                        h.until_us() != 0 ? absl::StrCat(" until ", Time(h.until_us())) : "",
                        With("; ", h.condition()));
  }

  std::string Booked() const {
    const v1::GearBooked& b = entry_.gear_booked();
    return absl::StrCat("booked ", Name(b.equipment_id()), " for ", Name(b.member_id()), ", ",
                        Time(b.from_us()), " to ", Time(b.until_us()), With(": ", b.purpose()));
  }

  // "12.50 EUR"; the currency as it is set in the end.
  std::string Money(int64_t cents) const {
    return FormatMoney(cents, fold_.directory().settings().currency());
  }

  std::string Contributed() const {
    const v1::Contributed& c = entry_.contributed();
    std::string what;
    switch (c.kind()) {
      case v1::CONTRIBUTION_KIND_FRUIT:
        what = c.amount() > 0 ? absl::StrCat(FormatMass(c.amount()), " of fruit") : "fruit";
        break;
      case v1::CONTRIBUTION_KIND_WORK:
        what = c.amount() > 0 ? absl::StrCat(c.amount(), " min of work") : "work";
        break;
      case v1::CONTRIBUTION_KIND_BOTTLES:
        what = c.amount() > 0 ? absl::StrCat(c.amount(), " bottles") : "bottles";
        break;
      default:
        what = "money";
    }
    return absl::StrCat(Name(c.member_id()), " put ", what, " into ", Name(c.lot_id()),
                        c.worth_cents() > 0 ? absl::StrCat(", worth ", Money(c.worth_cents())) : "",
                        With(": ", c.what()));
  }

  std::string Cost() const {
    const v1::CostEntered& c = entry_.cost_entered();
    return absl::StrCat(c.excise() ? "excise of " : "cost of ", Money(c.cents()),
                        c.lot_id().empty() ? "" : absl::StrCat(" for ", Name(c.lot_id())), ": ",
                        c.what());
  }

  std::string Calibrated() const {
    const v1::Calibrated& c = entry_.calibrated();
    return absl::StrCat("checked ", Name(c.equipment_id()), With(" against ", c.against()), ": ",
                        FormatReading(c.found_micro(), FromWire(c.unit())), " for ",
                        FormatReading(c.expected_micro(), FromWire(c.unit())),
                        With(", again on ", c.due_on()));
  }

 private:
  const Fold& fold_;
  const v1::Entry& entry_;
};

}  // namespace

std::string RecordSentence(const Fold& fold, const v1::Entry& entry) {
  const RecordWords say(fold, entry);
  switch (entry.body_case()) {
    case v1::Entry::kSanitised:
      return say.Sanitised();
    case v1::Entry::kGearHanded:
      return say.Handed();
    case v1::Entry::kGearBooked:
      return say.Booked();
    case v1::Entry::kCalibrated:
      return say.Calibrated();
    case v1::Entry::kOccasionClosed:
      return absl::StrCat("closed ", say.Name(entry.occasion_closed().bin_id()));
    case v1::Entry::kContributed:
      return say.Contributed();
    case v1::Entry::kCostEntered:
      return say.Cost();
    case v1::Entry::kPlanStarted:
      return absl::StrCat("started the plan ", entry.plan_started().name(), " for ",
                          say.Name(entry.plan_started().lot_id()));
    case v1::Entry::kPlanStepDone:
      return absl::StrCat("done: ", entry.plan_step_done().key(), " of ",
                          say.Plan(entry.plan_step_done().plan_id()));
    case v1::Entry::kPlanStepSkipped:
      return absl::StrCat("left out: ", entry.plan_step_skipped().key(), " of ",
                          say.Plan(entry.plan_step_skipped().plan_id()),
                          RecordWords::With(": ", entry.plan_step_skipped().reason()));
    case v1::Entry::kPlanShifted:
      return absl::StrCat("moved ", entry.plan_shifted().key(), " of ",
                          say.Plan(entry.plan_shifted().plan_id()), " by ",
                          entry.plan_shifted().hours(), " h");
    case v1::Entry::kPlanEnded:
      return absl::StrCat("ended the plan ", say.Plan(entry.plan_ended().plan_id()),
                          RecordWords::With(": ", entry.plan_ended().reason()));
    case v1::Entry::kHouseRuleSet:
      return absl::StrCat(entry.house_rule_set().text().empty() ? "dropped" : "set",
                          " the house rule ", entry.house_rule_set().rule_id());
    case v1::Entry::kInvited:
      return absl::StrCat("invited ", entry.invited().member_name(), " as ",
                          RoleName(entry.invited().role()));
    case v1::Entry::kDeviceEnrolled:
      return absl::StrCat("signs on the device ", entry.device_enrolled().device_name(),
                          " with the key ", KeyMark(entry.device_enrolled().public_key()),
                          " from here on");
    case v1::Entry::kPeriodClosed:
      return absl::StrCat("closed the book up to ", say.Time(entry.period_closed().until_us()));
    case v1::Entry::kPeriodReopened:
      return absl::StrCat("reopened the book from ", say.Time(entry.period_reopened().from_us()),
                          RecordWords::With(": ", entry.period_reopened().reason()));
    default:
      return "";
  }
}

}  // namespace rundlet

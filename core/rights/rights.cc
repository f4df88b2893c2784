#include "core/rights/rights.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"

namespace rundlet {
namespace {

constexpr auto kEntry = Right::Of::kEntry;
constexpr auto kCall = Right::Of::kCall;
constexpr auto kMaster = MemberRole::kMaster;
constexpr auto kHand = MemberRole::kHand;
constexpr auto kGuest = MemberRole::kGuest;

constexpr Right kRights[] = {
    {kEntry, "settings_changed", "change settings: name, tolerance, jurisdictions, currency",
     kMaster},
    {kEntry, "registered", "register a vessel, lot, material, gear, bin or person", kHand},
    {kEntry, "changed", "change what is known of one", kHand},
    {kEntry, "retired", "retire one", kHand},
    {kEntry, "material_received", "take materials in", kHand},
    {kEntry, "wine_received", "take wine, must or fruit in", kHand},
    {kEntry, "addition", "add to a vessel", kHand},
    {kEntry, "racking", "rack", kHand},
    {kEntry, "blend", "blend", kHand},
    {kEntry, "topping", "top up", kHand},
    {kEntry, "pressing", "press", kHand},
    {kEntry, "gauging", "gauge a vessel", kHand},
    {kEntry, "withdrawal", "draw a sample, spill or dump", kHand},
    {kEntry, "reading", "write a reading down", kHand},
    {kEntry, "treatment", "treat a vessel", kHand},
    {kEntry, "observation", "write a note or an impression", kHand},
    {kEntry, "sanitised", "sanitise", kHand},
    {kEntry, "gear_handed", "lend gear and take it back", kHand},
    {kEntry, "gear_booked", "book gear", kHand},
    {kEntry, "calibrated", "calibrate gear", kHand},
    {kEntry, "bottled", "bottle", kHand},
    {kEntry, "bottles_moved", "move bottles", kHand},
    {kEntry, "bottles_taken", "take bottles", kHand},
    {kEntry, "bottles_returned", "put bottles back", kHand},
    {kEntry, "bin_counted", "count bottles", kHand},
    {kEntry, "material_counted", "count a material", kHand},
    {kEntry, "bottles_emptied", "empty bottles", kHand},
    {kEntry, "occasion_closed", "close an occasion", kHand},
    {kEntry, "plan_started", "start a plan", kHand},
    {kEntry, "plan_step_done", "do a step of a plan", kHand},
    {kEntry, "plan_step_skipped", "leave a step out", kHand},
    {kEntry, "plan_shifted", "move a step", kHand},
    {kEntry, "plan_ended", "end a plan", kHand},
    {kEntry, "void", "void an entry: as for the entry that is voided or amended", kHand},
    {kEntry, "house_rule_set", "make, change or let go of a rule of the house", kMaster},
    {kEntry, "contributed", "write a contribution down", kHand},
    {kEntry, "cost_entered", "write a cost down", kHand},
    {kEntry, "invited", "invite a device", kMaster},
    {kEntry, "device_enrolled", "bring the key of one's own device", kHand},
    {kEntry, "period_closed", "close a period", kMaster},
    {kEntry, "period_reopened", "reopen a period", kMaster},
    {kCall, "GetDevice", "ask who one is", kGuest},
    {kCall, "Push", "hand entries in", kHand},
    {kCall, "Pull", "fetch the journal", kGuest},
    {kCall, "GetCheckpoint", "ask for a signed checkpoint", kGuest},
    {kCall, "GetInclusion", "ask for a proof that an entry is in the journal", kGuest},
    {kCall, "ListDevices", "see the devices and their members", kGuest},
    {kCall, "RevokeDevice", "revoke a device; one's own everybody may", kGuest},
    {kCall, "CreateInvitation", "invite", kMaster},
    {kCall, "ListInvitations", "see the invitations", kMaster},
    {kCall, "RevokeInvitation", "take an invitation back", kMaster},
    {kCall, "SetMemberRole", "change a member's role", kMaster},
    {kCall, "RemoveMember", "let a member go", kMaster},
    {kCall, "GetBoard", "see the board", kGuest},
    {kCall, "ListJournal", "read the journal", kGuest},
    {kCall, "GetTrace", "trace", kGuest},
    {kCall, "ListHeld", "see what is held", kGuest},
};

MemberRole NeededFor(Right::Of of, absl::string_view name) {
  for (const Right& right : kRights) {
    if (right.of == of && right.name == name) return right.needed;
  }
  return MemberRole::kMaster;
}

}  // namespace

absl::string_view RoleName(MemberRole role) {
  switch (role) {
    case MemberRole::kMaster:
      return "master";
    case MemberRole::kHand:
      return "hand";
    case MemberRole::kGuest:
      return "guest";
  }
  return "guest";
}

absl::string_view RoleName(v1::MemberRole role) {
  const auto known = RoleFrom(role);
  return known.ok() ? RoleName(*known) : "?";
}

absl::StatusOr<MemberRole> ParseRole(absl::string_view name) {
  for (const MemberRole role : {MemberRole::kMaster, MemberRole::kHand, MemberRole::kGuest}) {
    if (name == RoleName(role)) return role;
  }
  return absl::InvalidArgumentError(
      absl::StrCat("'", name, "' is no role: say master, hand or guest"));
}

absl::StatusOr<MemberRole> RoleFrom(v1::MemberRole role) {
  switch (role) {
    case v1::MEMBER_ROLE_MASTER:
      return MemberRole::kMaster;
    case v1::MEMBER_ROLE_HAND:
      return MemberRole::kHand;
    case v1::MEMBER_ROLE_GUEST:
      return MemberRole::kGuest;
    default:
      return absl::InvalidArgumentError("this role is not known: master, hand or guest");
  }
}

v1::MemberRole ToProto(MemberRole role) {
  switch (role) {
    case MemberRole::kMaster:
      return v1::MEMBER_ROLE_MASTER;
    case MemberRole::kHand:
      return v1::MEMBER_ROLE_HAND;
    case MemberRole::kGuest:
      return v1::MEMBER_ROLE_GUEST;
  }
  return v1::MEMBER_ROLE_GUEST;
}

absl::Span<const Right> Rights() { return kRights; }

MemberRole RoleForCall(absl::string_view method) { return NeededFor(kCall, method); }

MemberRole RoleForBody(int body_field) {
  const auto* field = v1::Entry::descriptor()->FindFieldByNumber(body_field);
  return field == nullptr ? kMaster : NeededFor(kEntry, field->name());
}

MemberRole RoleForEntry(const v1::Entry& entry, const v1::Entry* target) {
  const MemberRole own = NeededFor(kEntry, KindName(entry));
  if (target == nullptr) return own;
  return std::min(own, NeededFor(kEntry, KindName(*target)));
}

}  // namespace rundlet

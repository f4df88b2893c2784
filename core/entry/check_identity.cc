#include "core/entry/check_identity.h"

#include "absl/strings/string_view.h"
#include "core/entry/limits.h"

namespace rundlet {
namespace {

constexpr size_t kKeyBytes = 32;        // Ed25519 (RFC 8032)
constexpr size_t kSignatureBytes = 64;  // the same

void NeedName(Checker& check, const std::string& name, absl::string_view what) {
  check.Need(!name.empty() && name.size() <= kMaxNameBytes, what);
}

void NeedTime(Checker& check, int64_t at_us, absl::string_view what) {
  check.Need(at_us >= kMinTimeUs && at_us <= kMaxTimeUs, what);
}

void CheckInvited(Checker& check, const v1::Invited& invited) {
  check.Need(invited.invitation_key().size() == kKeyBytes, "a key of 32 bytes");
  check.NeedId(invited.member_id(), "the member");
  NeedName(check, invited.member_name(), "the member's name");
  check.Need(
      invited.role() != v1::MEMBER_ROLE_UNSPECIFIED && v1::MemberRole_IsValid(invited.role()),
      "a role");
  NeedTime(check, invited.expires_at_us(), "a time until which it is good");
}

void CheckEnrolled(Checker& check, const v1::DeviceEnrolled& enrolled) {
  check.Need(enrolled.public_key().size() == kKeyBytes, "a key of 32 bytes");
  NeedName(check, enrolled.device_name(), "the device's name");
  const bool invited = !enrolled.invitation_key().empty();
  check.Need(enrolled.invitation_key().size() == (invited ? kKeyBytes : 0) &&
                 enrolled.invitation_signature().size() == (invited ? kSignatureBytes : 0),
             "an invitation's key of 32 bytes and signature of 64, or neither");
}

}  // namespace

bool CheckIdentity(Checker& check, const v1::Entry& entry) {
  switch (entry.body_case()) {
    case v1::Entry::kInvited:
      CheckInvited(check, entry.invited());
      return true;
    case v1::Entry::kDeviceEnrolled:
      CheckEnrolled(check, entry.device_enrolled());
      return true;
    case v1::Entry::kPeriodClosed:
      NeedTime(check, entry.period_closed().until_us(), "the time up to which it closes");
      check.Need(entry.period_closed().state_digest().size() == 32,
                 "the digest of the closed state");
      return true;
    case v1::Entry::kPeriodReopened:
      NeedTime(check, entry.period_reopened().from_us(), "the time from which it opens");
      check.Need(!entry.period_reopened().reason().empty() &&
                     entry.period_reopened().reason().size() <= 4 * kMaxNameBytes,
                 "the reason, of at most 800 bytes");
      return true;
    default:
      return false;
  }
}

}  // namespace rundlet

#ifndef RUNDLET_CORE_RIGHTS_RIGHTS_H_
#define RUNDLET_CORE_RIGHTS_RIGHTS_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// What a person may do in a cellar. Each role may do what those after it may.
enum class MemberRole { kMaster, kHand, kGuest };

absl::string_view RoleName(MemberRole role);
absl::string_view RoleName(v1::MemberRole role);  // "?" for one that is not known
// InvalidArgument for anything but "master", "hand" and "guest".
absl::StatusOr<MemberRole> ParseRole(absl::string_view name);
// InvalidArgument for a role that is not known.
absl::StatusOr<MemberRole> RoleFrom(v1::MemberRole role);
v1::MemberRole ToProto(MemberRole role);

constexpr bool MayDo(MemberRole role, MemberRole needed) { return role <= needed; }

// One line of the table of rights. docs/security.md prints it, the server holds everybody to it,
// and the client asks it before it writes.
struct Right {
  enum class Of { kEntry, kCall };
  Of of;
  absl::string_view name;  // of the entry's kind ("racking"), or of the call ("Push")
  absl::string_view what;  // in words for people
  MemberRole needed;       // the least that may
};
absl::Span<const Right> Rights();

// Who may make a call of CellarService; masters alone where the table does not know it.
MemberRole RoleForCall(absl::string_view method);

// Who may write an entry. A void or an amendment needs what its target needed: `target` is that
// entry, or nullptr where it is not known (yet).
MemberRole RoleForEntry(const v1::Entry& entry, const v1::Entry* target);
// By the number of the body's field, where nothing more of the entry is at hand.
MemberRole RoleForBody(int body_field);

}  // namespace rundlet

#endif  // RUNDLET_CORE_RIGHTS_RIGHTS_H_

#include "client/cli/may.h"

#include <algorithm>
#include <optional>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

// Who is not known to be more is a guest.
MemberRole RoleOf(const Device& device) {
  return ParseRole(device.role).value_or(MemberRole::kGuest);
}

absl::Status Refuse(const Device& device, MemberRole needed, absl::string_view what) {
  return absl::PermissionDeniedError(
      absl::StrCat(what, " by a ", needed == MemberRole::kMaster ? "cellar master" : "hand",
                   ", and you are a ", RoleName(RoleOf(device)), " here: ask ",
                   needed == MemberRole::kMaster ? "one" : "a cellar master to make you one"));
}

absl::Status RefuseLine(const Device& device, Right::Of of, absl::string_view name,
                        MemberRole needed) {
  absl::string_view what = name;
  for (const Right& right : Rights()) {
    if (right.of == of && right.name == name) what = right.what;
  }
  return Refuse(device, needed, absl::StrCat("'", what, "' is done"));
}

// The entry that a void or an amendment names, where it is here.
absl::StatusOr<std::optional<v1::Entry>> TargetOf(Cellar& cellar, const v1::Entry& entry) {
  const std::string& id =
      entry.has_void_() ? entry.void_().target_id() : entry.amendment().target_id();
  const auto target = Uuid::FromBytes(id);
  if (!target.ok()) return std::nullopt;
  const auto stored = cellar.store.Find(*target);
  if (absl::IsNotFound(stored.status())) return std::nullopt;
  if (!stored.ok()) return stored.status();
  auto read = ReadEntry(stored->bytes);
  if (!read.ok()) return std::nullopt;
  return *std::move(read);
}

}  // namespace

absl::Status CheckMayWrite(Cellar& cellar, absl::Span<const v1::Entry> entries) {
  const Device& device = cellar.store.device();
  for (const v1::Entry& entry : entries) {
    const auto target = TargetOf(cellar, entry);
    if (!target.ok()) return target.status();
    const MemberRole needed = RoleForEntry(entry, target->has_value() ? &**target : nullptr);
    if (MayDo(RoleOf(device), needed)) continue;
    // What is said of is what asks for the role.
    const bool by_target =
        target->has_value() && !MayDo(RoleOf(device), RoleForEntry(**target, nullptr));
    return RefuseLine(device, Right::Of::kEntry, KindName(by_target ? **target : entry), needed);
  }
  return absl::OkStatus();
}

absl::Status CheckMayCall(const Device& device, absl::string_view method) {
  const MemberRole needed = RoleForCall(method);
  if (MayDo(RoleOf(device), needed)) return absl::OkStatus();
  return RefuseLine(device, Right::Of::kCall, method, needed);
}

absl::Status CheckRole(const Device& device, MemberRole needed, absl::string_view what) {
  return MayDo(RoleOf(device), needed) ? absl::OkStatus() : Refuse(device, needed, what);
}

}  // namespace rundlet::client

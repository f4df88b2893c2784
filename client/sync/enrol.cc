#include "client/sync/enrol.h"

#include <utility>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "client/base/file.h"
#include "client/cellar/cellar.h"
#include "client/store/device_key.h"
#include "client/store/file_lock.h"
#include "core/rights/rights.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kWriterPatience = absl::Seconds(10);
constexpr absl::string_view kLabel = "rundlet-join-request-1 ";

// Whether the book says already that this device signs with this key.
absl::StatusOr<bool> IsEnrolled(Cellar& cellar, const std::string& public_key) {
  const Fold& fold = *cellar.fold;
  const Handle device = fold.interner().Find(cellar.store.device().device_id);
  for (RowId row = 0; row < fold.sequence().rows(); ++row) {
    const Row& entry = fold.sequence().row(row);
    if (entry.body != v1::Entry::kDeviceEnrolledFieldNumber || entry.device != device) continue;
    const auto enrolled = EntryOfRow(cellar, row);
    if (!enrolled.ok()) return enrolled.status();
    if (enrolled->device_enrolled().public_key() == public_key) return true;
  }
  return false;
}

}  // namespace

absl::StatusOr<v1::JoinRequest> ReadJoinRequest(const StoreHome& home) {
  const auto text = ReadFile(home.join_request());
  if (!text.ok()) return text.status();
  absl::string_view rest = absl::StripAsciiWhitespace(*text);
  std::string bytes;
  v1::JoinRequest request;
  if (!absl::ConsumePrefix(&rest, kLabel) || !absl::Base64Unescape(rest, &bytes) ||
      !request.ParseFromString(bytes))
    return absl::NotFoundError(absl::StrCat(home.join_request(), " is damaged"));
  return request;
}

absl::Status WriteJoinRequest(const StoreHome& home, const v1::JoinRequest& request) {
  return WritePrivateFile(
      home.join_request(),
      absl::StrCat(kLabel, absl::Base64Escape(request.SerializeAsString()), "\n"));
}

v1::Entry EnrolmentDraft(const v1::JoinRequest& request, const When& now) {
  v1::Entry draft;
  draft.set_effective_at_us(now.at_us);
  draft.set_utc_offset_min(now.utc_offset_min);
  draft.set_written_at_us(now.at_us);
  v1::DeviceEnrolled& enrolled = *draft.mutable_device_enrolled();
  enrolled.set_public_key(request.public_key());
  enrolled.set_device_name(request.device_name());
  enrolled.set_invitation_key(request.invitation_key());
  enrolled.set_invitation_signature(request.invitation_signature());
  return draft;
}

v1::Entry RegistrationDraft(const Device& device, const When& now) {
  v1::Entry draft;
  draft.set_effective_at_us(now.at_us);
  draft.set_utc_offset_min(now.utc_offset_min);
  draft.set_written_at_us(now.at_us);
  draft.mutable_registered()->set_thing_id(device.member_id.ToBytes());
  draft.mutable_registered()->mutable_member()->set_name(device.member_name);
  return draft;
}

absl::StatusOr<bool> WriteFirstEntries(const StoreHome& home, const Environment& env) {
  const auto lock = FileLock::Acquire(home.writer_lock(), kWriterPatience,
                                      "another rundlet is writing on this device");
  if (!lock.ok()) return lock.status();
  auto cellar = OpenCellar(home);
  if (!cellar.ok()) return cellar.status();
  const Device& device = cellar->store.device();
  const auto role = ParseRole(device.role);
  if (!role.ok() || *role == MemberRole::kGuest) return false;

  std::vector<v1::Entry> drafts;
  const auto request = ReadJoinRequest(home);
  const auto key = ReadDeviceKey(home);
  if (request.ok() && key.ok() && request->public_key() == key->public_key().bytes() &&
      request->device_id() == device.device_id.bytes()) {
    const auto enrolled = IsEnrolled(*cellar, request->public_key());
    if (!enrolled.ok()) return enrolled.status();
    if (!*enrolled) drafts.push_back(EnrolmentDraft(*request, env.Now()));
  }
  const Fold& fold = *cellar->fold;
  if (fold.directory().Find(fold.interner().Find(device.member_id)) == nullptr)
    drafts.push_back(RegistrationDraft(device, env.Now()));
  if (drafts.empty()) return false;

  const auto before = cellar->store.Head();
  if (!before.ok()) return before.status();
  ChainHead head = *before;
  std::vector<WrittenEntry> written;
  for (v1::Entry& draft : drafts) {
    auto entry = WriteEntry(device.writer(), env.NewId(), std::move(draft), head);
    if (!entry.ok()) return entry.status();
    written.push_back(*std::move(entry));
  }
  if (absl::Status status = cellar->store.Append(written, *before); !status.ok()) return status;
  return true;
}

}  // namespace rundlet::client

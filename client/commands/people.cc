#include "client/commands/people.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/when.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr size_t kIdMarkBytes = 4;   // at its end: the beginning of an id is its time
constexpr size_t kKeyMarkBytes = 8;  // as rundletd shows them

// Calls `visit` with every entry of one kind that counts, by the order of their coming.
absl::Status ForEachOf(Cellar& cellar, int body_field,
                       absl::FunctionRef<void(const Row&, const v1::Entry&)> visit) {
  const Sequence& sequence = cellar.fold->sequence();
  for (RowId row = 0; row < sequence.rows(); ++row) {
    if (sequence.row(row).body != body_field || sequence.row(row).standing == Row::Standing::kVoid)
      continue;
    const auto entry = EntryOfRow(cellar, row);
    if (!entry.ok()) return entry.status();
    visit(sequence.row(row), *entry);
  }
  return absl::OkStatus();
}

// Who was invited by this name, as the journal says; the latest.
absl::StatusOr<std::optional<v1::Invited>> FindInvited(
    Cellar& cellar, absl::FunctionRef<bool(const v1::Invited&)> is_it) {
  std::optional<v1::Invited> found;
  absl::Status status =
      ForEachOf(cellar, v1::Entry::kInvitedFieldNumber, [&](const Row&, const v1::Entry& entry) {
        if (is_it(entry.invited())) found = entry.invited();
      });
  if (!status.ok()) return status;
  return found;
}

}  // namespace

std::string MarkOfKey(absl::string_view key) {
  return absl::BytesToHexString(key.substr(0, kKeyMarkBytes));
}

std::string MarkOfId(absl::string_view id) {
  return absl::BytesToHexString(id.substr(id.size() - std::min(id.size(), kIdMarkBytes)));
}

std::string DayOf(int64_t at_us, const absl::TimeZone& zone) {
  return at_us == 0 ? "" : FormatWhen(WhenAt(absl::FromUnixMicros(at_us), zone));
}

absl::StatusOr<Uuid> FindPerson(Cellar& cellar, absl::string_view name) {
  const auto member = FindByName(*cellar.fold, v1::Thing::kMember, name);
  if (member.ok()) return cellar.fold->interner().id(*member);
  if (!absl::IsNotFound(member.status())) return member.status();
  const auto invited = FindInvited(cellar, [name](const v1::Invited& each) {
    return absl::EqualsIgnoreCase(each.member_name(), name);
  });
  if (!invited.ok()) return invited.status();
  if (!invited->has_value()) return member.status();
  return Uuid::FromBytes((*invited)->member_id());
}

absl::StatusOr<Uuid> FindPerson(Cellar& cellar, const v1::ListDevicesResponse& devices,
                                absl::string_view name) {
  std::vector<std::string> ids;
  for (const v1::DeviceLine& device : devices.devices()) {
    if (absl::EqualsIgnoreCase(device.member_name(), name) &&
        std::find(ids.begin(), ids.end(), device.member_id()) == ids.end())
      ids.push_back(device.member_id());
  }
  if (ids.size() == 1) return Uuid::FromBytes(ids[0]);
  return FindPerson(cellar, name);
}

absl::StatusOr<v1::DeviceLine> FindDevice(const v1::ListDevicesResponse& devices,
                                          absl::string_view word) {
  std::vector<v1::DeviceLine> found;
  const std::string end = absl::AsciiStrToLower(word);
  for (const v1::DeviceLine& device : devices.devices()) {
    const std::string id = absl::BytesToHexString(device.device_id());
    if (absl::EqualsIgnoreCase(device.device_name(), word) ||
        (end.size() >= 4 && absl::EndsWith(id, end)))
      found.push_back(device);
  }
  // What is refused already is rarely meant.
  if (found.size() > 1) {
    std::erase_if(found, [](const v1::DeviceLine& device) { return device.revoked_at_us() != 0; });
  }
  if (found.size() == 1) return found[0];
  if (found.empty())
    return absl::NotFoundError(
        absl::StrCat("no device is called '", word, "': see rundlet devices"));
  return absl::FailedPreconditionError(absl::StrCat(
      "several devices are called '", word, "': write the end of the id, ",
      absl::StrJoin(found, " or ", [](std::string* out, const v1::DeviceLine& device) {
        absl::StrAppend(out, MarkOfId(device.device_id()), " (", device.member_name(), "'s)");
      })));
}

absl::StatusOr<std::vector<v1::DeviceLine>> DevicesInBook(Cellar& cellar) {
  std::vector<v1::DeviceLine> devices;
  const Fold& fold = *cellar.fold;
  absl::Status status = ForEachOf(
      cellar, v1::Entry::kDeviceEnrolledFieldNumber, [&](const Row&, const v1::Entry& entry) {
        auto known = std::find_if(devices.begin(), devices.end(), [&](const v1::DeviceLine& each) {
          return each.device_id() == entry.device_id();
        });
        if (known == devices.end()) {
          known = devices.insert(devices.end(), v1::DeviceLine());
          known->set_device_id(entry.device_id());
          known->set_created_at_us(entry.written_at_us());
          known->set_member_id(entry.author_id());
          known->set_member_name(NameOf(fold, HandleOf(fold, entry.author_id())));
        }
        known->set_device_name(entry.device_enrolled().device_name());
        known->set_public_key(entry.device_enrolled().public_key());
        if (!entry.device_enrolled().invitation_key().empty())
          known->set_invitation_key(entry.device_enrolled().invitation_key());
      });
  if (!status.ok()) return status;
  for (v1::DeviceLine& device : devices) {
    const auto invited = FindInvited(cellar, [&device](const v1::Invited& each) {
      return each.invitation_key() == device.invitation_key();
    });
    if (!invited.ok()) return invited.status();
    if (invited->has_value()) device.set_role((*invited)->role());
  }
  return devices;
}

}  // namespace rundlet::client

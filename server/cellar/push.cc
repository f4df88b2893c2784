#include "server/cellar/push.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "core/rights/rights.h"
#include "server/cellar/signed_push.h"

namespace rundlet::server {
namespace {

// Who may write the entry. To void or amend one takes what writing that one took; where it is not
// here yet, nobody can know its id but those who have it.
MemberRole RoleFor(const v1::Entry& entry, const Sequence& known) {
  const MemberRole own = RoleForEntry(entry, nullptr);
  const std::string& target = entry.has_amendment() ? entry.amendment().target_id()
                              : entry.body_case() == v1::Entry::kVoid ? entry.void_().target_id()
                                                                      : std::string();
  const absl::StatusOr<Uuid> id = Uuid::FromBytes(target);
  const RowId row = id.ok() ? known.Find(*id) : kNone;
  return row == kNone ? own : std::min(own, RoleForBody(known.row(row).body));
}

// Decides the entry unless it passes.
void CheckForm(const Device& device, Sha256& sha, PushedEntry& pushed) {
  const absl::string_view bytes = pushed.bytes;
  pushed.leaf_hash = LeafHash(sha, bytes);  // what cannot be read is signed for, too
  if (bytes.size() > kMaxEntryBytes) {
    pushed.Return(v1::RETURN_REASON_TOO_LARGE,
                  absl::StrCat("this entry has ", bytes.size(), " bytes, and at most ",
                               kMaxEntryBytes, " are taken: write it anew in several"));
    return;
  }
  absl::StatusOr<v1::Entry> entry = ParseEntry(bytes);
  if (absl::IsUnimplemented(entry.status())) {
    pushed.disposition.set_kind(v1::DISPOSITION_KIND_NOT_YET);
    pushed.disposition.set_message(
        absl::StrCat("this server is too old for this entry: ", entry.status().message(),
                     " (on the server), then push it again"));
    return;
  }
  if (!entry.ok()) {
    pushed.Return(v1::RETURN_REASON_MALFORMED, entry.status().message());
    return;
  }
  pushed.entry = *std::move(entry);
  if (pushed.entry.cellar_id() != device.cellar_id.bytes()) {
    pushed.Return(v1::RETURN_REASON_WRONG_CELLAR, "this entry belongs to another cellar");
    return;
  }
  if (pushed.entry.device_id() != device.device_id.bytes()) {
    pushed.Return(v1::RETURN_REASON_WRONG_DEVICE,
                  "this entry was written on another device, which must push it itself");
    return;
  }
  const absl::StatusOr<Uuid> id = Uuid::FromBytes(pushed.entry.entry_id());
  if (id.ok()) pushed.entry_id = *id;  // ParseEntry promises it
}

}  // namespace

void PushedEntry::Return(v1::ReturnReason reason, absl::string_view message) {
  disposition.set_kind(v1::DISPOSITION_KIND_RETURNED);
  disposition.set_reason(reason);
  disposition.set_message(message.data(), message.size());
}

PushedEntry CheckAlone(const Device& device, absl::string_view bytes, Sha256& sha) {
  PushedEntry pushed;
  pushed.bytes = bytes;
  CheckForm(device, sha, pushed);
  pushed.decided_alone = pushed.decided();
  return pushed;
}

void CheckInCellar(const Device& device, const LoadedCellar& cellar, PushedEntry& pushed) {
  const RowId known = cellar.fold().sequence().Find(pushed.entry_id);
  if (known != kNone) {
    if (cellar.chains().leaf_hash(known) == pushed.leaf_hash) {
      pushed.disposition.set_kind(v1::DISPOSITION_KIND_ALREADY_RECORDED);
      pushed.disposition.set_seq(LoadedCellar::SeqOf(known));
    } else {
      pushed.Return(v1::RETURN_REASON_ID_REUSED,
                    absl::StrCat("entry ", LoadedCellar::SeqOf(known),
                                 " of the journal has this id and other content"));
    }
    return;
  }
  const uint64_t number = pushed.entry.device_seq();
  switch (cellar.chains().Check(device.device_id, number, pushed.leaf_hash,
                                pushed.entry.previous_hash())) {
    case DeviceChains::Fit::kFits:
      break;
    case DeviceChains::Fit::kNumberTaken:
      return pushed.Return(
          v1::RETURN_REASON_ID_REUSED,
          absl::StrCat("another entry of this device has the running number ", number));
    case DeviceChains::Fit::kAfterAnother:
      return pushed.Return(v1::RETURN_REASON_CHAIN_BROKEN,
                           absl::StrCat("the entry with the running number ", number - 1,
                                        " is not the one that this entry names before it"));
    case DeviceChains::Fit::kBeforeAnother:
      return pushed.Return(v1::RETURN_REASON_CHAIN_BROKEN,
                           absl::StrCat("the entry with the running number ", number + 1,
                                        " names another one before it than this"));
  }
  if (pushed.entry.author_id() != device.member_id.bytes()) {
    return pushed.Return(v1::RETURN_REASON_WRONG_AUTHOR,
                         absl::StrCat("this device speaks for ", device.member_name,
                                      ", and the entry is somebody else's"));
  }
  const MemberRole needed = RoleFor(pushed.entry, cellar.fold().sequence());
  if (!MayDo(device.role, needed)) {
    return pushed.Return(v1::RETURN_REASON_NOT_ALLOWED,
                         absl::StrCat(device.member_name, " is a ", RoleName(device.role),
                                      " here, and this needs a ", RoleName(needed)));
  }
  CheckEnrolment(device, cellar, pushed);
  if (pushed.decided()) return;
  if (const auto refusal = cellar.periods().Check(cellar.fold(), pushed.entry))
    pushed.Return(refusal->reason, refusal->message);
}

}  // namespace rundlet::server

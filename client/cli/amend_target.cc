#include "client/cli/amend_target.h"

#include "absl/strings/str_cat.h"
#include "client/cli/entry_names.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

absl::Status CheckAmendable(const Cellar& cellar, const StoredEntry& stored, const v1::Entry& old) {
  const std::string name = ShortId(stored.id);
  if (old.has_void_()) {
    return absl::FailedPreconditionError(
        absl::StrCat("entry ", name, " is a void: it stands; write again what it voided"));
  }
  if (old.has_registered()) {
    return absl::FailedPreconditionError(absl::StrCat(
        "entry ", name,
        " registers a thing: change that instead, as in: rundlet vessel change NAME ..."));
  }
  if (old.has_period_closed() || old.has_period_reopened()) {
    return absl::FailedPreconditionError(
        absl::StrCat("entry ", name,
                     " closes or reopens a period: it stands; close or reopen anew (rundlet period "
                     "close, rundlet period reopen)"));
  }
  const Sequence& sequence = cellar.fold->sequence();
  const RowId row = sequence.Find(stored.id);
  if (row == kNone || sequence.row(row).standing != Row::Standing::kVoid) return absl::OkStatus();
  const Row& by = sequence.row(sequence.row(row).voided_by);
  return absl::FailedPreconditionError(
      by.amends
          ? absl::StrCat("entry ", name, " was amended already: amend ", ShortId(by.id), " instead")
          : absl::StrCat("entry ", name, " was voided: enter it anew, with --at for its time"));
}

}  // namespace

absl::StatusOr<AmendTarget> FindAmendTarget(Cellar& cellar, const AmendWords& words) {
  const auto stored = FindEntry(cellar, words.entry);
  if (!stored.ok()) return stored.status();
  const auto old = ReadEntry(stored->bytes);
  if (!old.ok()) return old.status();
  if (absl::Status status = CheckAmendable(cellar, *stored, *old); !status.ok()) return status;

  AmendTarget target{.id = stored->id, .amendment = {}, .when = {}, .note = old->note()};
  target.when = {.at_us = old->effective_at_us(), .utc_offset_min = old->utc_offset_min()};
  target.amendment.set_target_id(stored->id.ToBytes());
  // The place is that of the entry first written there, however often it was amended.
  if (old->has_amendment()) {
    target.amendment.set_place_device_id(old->amendment().place_device_id());
    target.amendment.set_place_device_seq(old->amendment().place_device_seq());
  } else {
    target.amendment.set_place_device_id(old->device_id());
    target.amendment.set_place_device_seq(old->device_seq());
  }
  target.amendment.set_reason(words.reason);
  return target;
}

}  // namespace rundlet::client

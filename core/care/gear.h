#ifndef RUNDLET_CORE_CARE_GEAR_H_
#define RUNDLET_CORE_CARE_GEAR_H_

#include <optional>
#include <string>
#include <vector>

#include "core/fold/fold.h"

namespace rundlet::care {

// Shared gear: who has it, for when it is wanted, and whether it is fit for use. Worked out from
// the entries that count, so it is the same on every device, and mends itself where one is voided.
// Times are microseconds since 1970.

// Somebody wants a thing, or has it, for a while.
struct Claim {
  RowId row = kNone;  // the entry that says so
  Handle gear = kNoHandle;
  Handle member = kNoHandle;
  int64_t from_us = 0;
  int64_t until_us = 0;  // not included; INT64_MAX: nobody said
  std::string purpose;
  bool lent = false;  // it is with them, not only booked
};

// Bookings that are not over at `now_us`, and what is lent out then: by beginning, then in the
// order of the entries.
std::vector<Claim> ClaimsAt(const Fold& fold, int64_t now_us);

// Two members who want one thing at one time. A loan without an end clashes with a booking only
// once that has begun.
struct Clash {
  Claim first;  // of the entry that is first in the order: who asked first has the better claim
  Claim second;
};
std::vector<Clash> ClashesOf(const Fold& fold, const std::vector<Claim>& claims, int64_t now_us);

// "press 1: Maud Ferrier, 2026-10-03 09:00 to 12:00, and Colm Adeyemi, ...".
std::string ClashText(const Fold& fold, const Clash& clash);
// "2026-10-03 09:00 to 12:00"; the second day is named only where it is another.
std::string SpanText(const Fold& fold, const Claim& claim);

struct GearState {
  std::optional<Claim> lent;  // who has it
  std::string condition;      // as it was said last
  RowId condition_row = kNone;
  RowId cleaned = kNone;    // sanitised last
  bool used_since = false;  // since it was cleaned, or at all
  RowId calibrated = kNone;
  std::string calibration_due_on;  // ISO 8601 date of the last calibration; empty: not said
};
// Of gear or a vessel, with all that is dated up to `now_us`.
GearState StateOf(const Fold& fold, Handle thing, int64_t now_us);

}  // namespace rundlet::care

#endif  // RUNDLET_CORE_CARE_GEAR_H_

#include "core/care/gear.h"

#include <algorithm>
#include <limits>

#include "absl/strings/str_cat.h"
#include "core/quantity/when.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::care {
namespace {

constexpr int64_t kOpenEnd = std::numeric_limits<int64_t>::max();
constexpr int64_t kClocksDifferUs = 60'000'000;  // by which an entry may lie ahead of now

// Whether an entry has happened by then.
bool Happened(int64_t effective_at_us, int64_t now_us) {
  return now_us > kOpenEnd - kClocksDifferUs || effective_at_us <= now_us + kClocksDifferUs;
}

// The records that count, in the order of the entries.
std::vector<RowId> CountingRecords(const Fold& fold, bool (v1::Entry::*has)() const) {
  std::vector<RowId> rows;
  for (const auto& [row, record] : fold.records().all()) {
    if ((record.*has)() && fold.sequence().row(row).standing == Row::Standing::kCounts)
      rows.push_back(row);
  }
  std::sort(rows.begin(), rows.end(),
            [&](RowId a, RowId b) { return fold.sequence().Before(a, b); });
  return rows;
}

Claim LoanOf(const Fold& fold, RowId row) {
  const v1::GearHanded& handed = fold.records().Find(row)->gear_handed();
  return {.row = row,
          .gear = HandleOf(fold, handed.equipment_id()),
          .member = HandleOf(fold, handed.member_id()),
          .from_us = fold.sequence().row(row).effective_at_us,
          .until_us = handed.until_us() == 0 ? kOpenEnd : handed.until_us(),
          .purpose = "",
          .lent = true};
}

}  // namespace

std::vector<Claim> ClaimsAt(const Fold& fold, int64_t now_us) {
  std::vector<Claim> claims;
  absl::flat_hash_map<Handle, Claim> loans;  // the last word on each thing
  for (const RowId row : CountingRecords(fold, &v1::Entry::has_gear_handed)) {
    const Claim loan = LoanOf(fold, row);
    if (Happened(loan.from_us, now_us)) loans[loan.gear] = loan;
  }
  for (const auto& [gear, loan] : loans) {
    if (loan.member != kNoHandle) claims.push_back(loan);
  }
  for (const RowId row : CountingRecords(fold, &v1::Entry::has_gear_booked)) {
    const v1::GearBooked& booked = fold.records().Find(row)->gear_booked();
    if (booked.until_us() <= now_us) continue;
    claims.push_back({.row = row,
                      .gear = HandleOf(fold, booked.equipment_id()),
                      .member = HandleOf(fold, booked.member_id()),
                      .from_us = booked.from_us(),
                      .until_us = booked.until_us(),
                      .purpose = booked.purpose()});
  }
  std::sort(claims.begin(), claims.end(), [&](const Claim& a, const Claim& b) {
    return a.from_us != b.from_us ? a.from_us < b.from_us : fold.sequence().Before(a.row, b.row);
  });
  return claims;
}

std::vector<Clash> ClashesOf(const Fold& fold, const std::vector<Claim>& claims, int64_t now_us) {
  // A loan that is overdue goes on until it is ended.
  const auto end_of = [now_us](const Claim& claim) {
    const bool open = claim.until_us == kOpenEnd || (claim.lent && claim.until_us < now_us);
    return open ? now_us + 1 : claim.until_us;
  };
  std::vector<Clash> clashes;
  for (size_t i = 0; i < claims.size(); ++i) {
    for (size_t j = i + 1; j < claims.size(); ++j) {
      const Claim& a = claims[i];
      const Claim& b = claims[j];
      if (a.gear != b.gear || a.member == b.member) continue;
      if (a.from_us >= end_of(b) || b.from_us >= end_of(a)) continue;
      const bool a_first = fold.sequence().Before(a.row, b.row);
      clashes.push_back(a_first ? Clash{a, b} : Clash{b, a});
    }
  }
  return clashes;
}

std::string SpanText(const Fold& fold, const Claim& claim) {
  const int32_t offset_min = fold.sequence().row(claim.row).utc_offset_min;
  const std::string from = FormatWhen({claim.from_us, offset_min});
  if (claim.until_us == kOpenEnd) return absl::StrCat("since ", from);
  const std::string until = FormatWhen({claim.until_us, offset_min});
  const size_t day = FormatWhenDay({claim.from_us, offset_min}).size();
  const bool same_day = from.substr(0, day) == until.substr(0, day);
  return absl::StrCat(from, " to ", same_day ? until.substr(day + 1) : until);
}

std::string ClashText(const Fold& fold, const Clash& clash) {
  const auto name = [&](Handle handle) { return fold.directory().NameOf(handle, fold.sequence()); };
  return absl::StrCat(name(clash.first.gear), ": ", name(clash.first.member), ", ",
                      SpanText(fold, clash.first), ", and ", name(clash.second.member), ", ",
                      SpanText(fold, clash.second));
}

GearState StateOf(const Fold& fold, Handle thing, int64_t now_us) {
  GearState state;
  for (const size_t position : PositionsAbout(fold, thing)) {
    const RowId id = fold.sequence().at(position);
    const Row& row = fold.sequence().row(id);
    if (row.standing != Row::Standing::kCounts || fold.HeldAt(position) != nullptr) continue;
    if (!Happened(row.effective_at_us, now_us)) break;
    switch (row.body) {
      case v1::Entry::kSanitisedFieldNumber:
        state.cleaned = id;
        state.used_since = false;
        break;
      case v1::Entry::kGearHandedFieldNumber: {
        const Claim loan = LoanOf(fold, id);
        state.lent = loan.member == kNoHandle ? std::nullopt : std::optional(loan);
        const std::string& condition = fold.records().Find(id)->gear_handed().condition();
        if (condition.empty()) break;
        state.condition = condition;
        state.condition_row = id;
        break;
      }
      case v1::Entry::kCalibratedFieldNumber:
        state.calibrated = id;
        state.calibration_due_on = fold.records().Find(id)->calibrated().due_on();
        break;
      default:
        state.used_since = state.used_since || row.kind == ActKind::kReceive ||
                           row.kind == ActKind::kTransfer || row.kind == ActKind::kTreat ||
                           row.kind == ActKind::kAdd;
    }
  }
  return state;
}

}  // namespace rundlet::care

#include "client/cli/clock_note.h"

#include "absl/strings/str_cat.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr int64_t kMinuteUs = 60'000'000;
constexpr int64_t kWorthSayingUs = kMinuteUs;    // clocks differ by seconds
constexpr int64_t kFarAheadUs = 60 * kMinuteUs;  // as measured against the server

// The latest entry in the book that counts; kNone if there is none.
RowId Latest(const Sequence& sequence) {
  for (size_t position = sequence.size(); position-- > 0;) {
    const RowId row = sequence.at(position);
    if (sequence.row(row).standing == Row::Standing::kCounts) return row;
  }
  return kNone;
}

std::string Behind(const Fold& fold, const When& now, const When& filed) {
  const RowId latest = Latest(fold.sequence());
  if (latest == kNone) return "";
  const Row& row = fold.sequence().row(latest);
  if (row.effective_at_us - now.at_us <= kWorthSayingUs) return "";
  std::string note = absl::StrCat(
      "the clock of this device says ", FormatWhen(now), ", but entry ", ShortId(row.id), " of ",
      fold.directory().NameOf(row.author, fold.sequence()), " is of ",
      FormatWhen({.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min}),
      ": this clock, or that of the other device, is off");
  if (filed.at_us - now.at_us > kWorthSayingUs) {
    absl::StrAppend(&note, ". This is filed at ", FormatWhen(filed),
                    ", after the latest entry about the same; --at says another time");
  }
  return note;
}

std::string Ahead(Cellar& cellar, const When& now) {
  const auto here_us = cellar.store.Get(MetaKey::kOwnClockUs);
  const auto there_us = cellar.store.Get(MetaKey::kServerClockUs);
  if (!here_us.ok() || !there_us.ok() || *there_us == 0) return "";
  if (*here_us - *there_us <= kFarAheadUs || now.at_us < *here_us) return "";
  const auto local = [&](int64_t at_us) {
    return FormatWhen({.at_us = at_us, .utc_offset_min = now.utc_offset_min});
  };
  return absl::StrCat("the clock of this device is ahead: it said ", local(*here_us),
                      " when that of the server said ", local(*there_us),
                      ", at the last sync. Set it, and amend what was filed too late");
}

}  // namespace

std::string ClockNote(Cellar& cellar, const When& now, const When& filed) {
  const std::string behind = Behind(*cellar.fold, now, filed);
  return behind.empty() ? Ahead(cellar, now) : behind;
}

}  // namespace rundlet::client

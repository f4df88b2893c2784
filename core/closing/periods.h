#ifndef RUNDLET_CORE_CLOSING_PERIODS_H_
#define RUNDLET_CORE_CLOSING_PERIODS_H_

#include <cstdint>
#include <vector>

#include "absl/types/span.h"
#include "core/fold/ids.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::closing {

// A closing that stands: what happened before a time is not to change any more.
struct Closing {
  RowId row = kNone;     // the entry that says so
  int64_t until_us = 0;  // what happened before it is closed
  // Whether it reaches as far as it was written to. A part at its end may have been reopened; then
  // its digest says nothing of what is left.
  bool whole = true;
};

// What was closed, and is or was open again.
struct Reopening {
  RowId row = kNone;
  int64_t from_us = 0;
  int64_t until_us = 0;   // up to where it had been closed
  RowId closing = kNone;  // by which entry
};

// Which part of a cellar's past is closed: one stretch from the beginning of time.
//
// The rule: closings and reopenings count in the order of the journal, whatever their dates. A
// closing closes everything before its time that is not closed yet. A reopening opens everything
// from its time on. Voids and amendments of either do nothing: what was closed is opened by a
// reopening, which says why, and by nothing else. So it depends on the journal alone, and every
// server and device that holds the same journal finds the same.
//
// A plain value.
class Periods {
 public:
  // Entries in the order of the journal; all but closings and reopenings are left alone.
  void Take(RowId row, const v1::Entry& entry);

  // What happened before this is closed; INT64_MIN while nothing is.
  int64_t until_us() const { return standing_.empty() ? INT64_MIN : standing_.back().until_us; }
  bool IsClosed(int64_t at_us) const { return at_us < until_us(); }

  // The closings that stand, the earliest period first.
  absl::Span<const Closing> standing() const { return standing_; }
  // The earliest of them that closes a moment, which knows best what was there then; nullptr where
  // it is open.
  const Closing* ClosingOf(int64_t at_us) const;
  // In the order of the journal.
  absl::Span<const Reopening> reopenings() const { return reopenings_; }

 private:
  void Close(const Closing& closing);
  void Reopen(RowId row, int64_t from_us);

  std::vector<Closing> standing_;  // by until_us
  std::vector<Reopening> reopenings_;
};

}  // namespace rundlet::closing

#endif  // RUNDLET_CORE_CLOSING_PERIODS_H_

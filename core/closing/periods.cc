#include "core/closing/periods.h"

#include <algorithm>

namespace rundlet::closing {

void Periods::Take(RowId row, const v1::Entry& entry) {
  if (entry.has_period_closed()) {
    Close({.row = row, .until_us = entry.period_closed().until_us()});
  } else if (entry.has_period_reopened()) {
    Reopen(row, entry.period_reopened().from_us());
  }
}

void Periods::Close(const Closing& closing) {
  if (closing.until_us <= until_us()) return;
  // What is left of a closing that was cut short is seen through by the one that goes further.
  std::erase_if(standing_, [](const Closing& old) { return !old.whole; });
  standing_.push_back(closing);
}

void Periods::Reopen(RowId row, int64_t from_us) {
  if (!IsClosed(from_us)) return;
  const Closing last = standing_.back();
  reopenings_.push_back(
      {.row = row, .from_us = from_us, .until_us = last.until_us, .closing = last.row});
  Closing cut = last;
  while (!standing_.empty() && standing_.back().until_us > from_us) {
    cut = standing_.back();
    standing_.pop_back();
  }
  if (until_us() == from_us) return;
  cut.until_us = from_us;
  cut.whole = false;
  standing_.push_back(cut);
}

const Closing* Periods::ClosingOf(int64_t at_us) const {
  for (const Closing& closing : standing_) {
    if (at_us < closing.until_us) return &closing;
  }
  return nullptr;
}

}  // namespace rundlet::closing

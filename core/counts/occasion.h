#ifndef RUNDLET_CORE_COUNTS_OCCASION_H_
#define RUNDLET_CORE_COUNTS_OCCASION_H_

#include <map>
#include <string>
#include <vector>

#include "core/fold/fold.h"

namespace rundlet::counts {

// A tasting, a market day: bottles are taken along, some come back, some are poured, sold, broken.
// An occasion is a bin of its own, so the book always says what is there; when it is closed, what
// the book still has there is its difference.
struct OccasionLine {
  Commodity commodity = kWine;         // bottles of a run and size
  int64_t brought = 0;                 // moved there from bins, put there from elsewhere
  int64_t back = 0;                    // moved to bins
  std::map<v1::Account, int64_t> out;  // served, sold, breakage, counted ...
  int64_t left = 0;                    // by the book
};

struct Occasion {
  Handle bin = kNoHandle;
  std::string on;                   // ISO 8601 date
  RowId closed = kNone;             // the entry that closed it
  std::vector<OccasionLine> lines;  // by name of the run, then by size

  int64_t left() const;
};

// Whether a bin is an occasion.
bool IsOccasion(const Fold& fold, Handle bin);

// All occasions, the latest first; `bin`: of that one, with its lines.
std::vector<Occasion> Occasions(const Fold& fold);
Occasion OccasionOf(const Fold& fold, Handle bin);

}  // namespace rundlet::counts

#endif  // RUNDLET_CORE_COUNTS_OCCASION_H_

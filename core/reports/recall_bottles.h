#ifndef RUNDLET_CORE_REPORTS_RECALL_BOTTLES_H_
#define RUNDLET_CORE_REPORTS_RECALL_BOTTLES_H_

#include <cstdint>
#include <vector>

#include "core/fold/fold.h"

namespace rundlet::reports {

// What became of the bottles of one run and size, worked out from their movements alone.
struct BottlesOfRun {
  // One movement across the cellar's border.
  struct Crossing {
    RowId row = kNone;
    int64_t bottles = 0;
    Place bin;  // that they were taken from, or came back into; opened ones have none
    v1::Account account = v1::ACCOUNT_UNSPECIFIED;
  };
  struct Lying {
    Place place;  // a bin, or opened
    int64_t bottles = 0;
  };

  int64_t filled = 0;
  int64_t emptied = 0;  // wine went back into vessels
  int64_t missing = 0;  // by adopted counts; below zero where they found more
  std::vector<Lying> lying;
  std::vector<Crossing> taken, returned;  // in the order in which it happened

  // filled - emptied - missing - taken + returned; what lies somewhere, if the books balance.
  int64_t Expected() const;
  int64_t Lies() const;
};
BottlesOfRun FollowBottles(const Fold& fold, Commodity bottles);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_RECALL_BOTTLES_H_

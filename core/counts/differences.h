#ifndef RUNDLET_CORE_COUNTS_DIFFERENCES_H_
#define RUNDLET_CORE_COUNTS_DIFFERENCES_H_

#include <string>
#include <vector>

#include "core/counts/occasion.h"
#include "core/fold/fold.h"

namespace rundlet::counts {

// Where the book and what somebody saw do not agree, and nobody has settled it.
//
// A count is held against the book as it was at the count's own moment, so bottles may move while
// others count, and an entry that is filed late can still explain what was missing. Of each place
// and thing the last count says what stands: a recount lifts the one before. Bottles that a closed
// occasion still has by the book are a difference too.
struct Difference {
  enum class Kind { kBin, kVessel, kPacket, kOccasion };

  Kind kind = Kind::kBin;
  Handle place = kNoHandle;     // the bin, vessel, packet or occasion
  Commodity commodity = kWine;  // what was counted there
  int64_t counted = 0;          // bottles, microlitres, or the base unit of the packet's amount
  int64_t book = 0;             // at that moment
  RowId row = kNone;            // the count, or the entry that closed the occasion

  int64_t off() const { return counted - book; }
};

// All that are open, by kind, then by name of the place and of what was counted there.
std::vector<Difference> OpenDifferences(const Fold& fold);

// What was counted: the run and size of bottles, "wine", or the packet's name.
std::string WhatText(const Fold& fold, const Difference& difference);
// "2 bottles more than the book", "1.2 L less than the book".
std::string OffText(const Fold& fold, const Difference& difference);

// Things that would explain a difference, in words, the likeliest first: a move that was not
// written down, bottles taken for another run's, an entry that is held, one that is dated around
// the count and moved as many, an occasion that is not closed. None of them is certain.
struct Cause {
  std::string text;
  // The command that writes it down, word by word, with capitals for what a person must fill in.
  std::vector<std::string> command;
};
// `all` and `occasions` are those of the fold.
std::vector<Cause> LikelyCauses(const Fold& fold, const Difference& difference,
                                const std::vector<Difference>& all,
                                const std::vector<Occasion>& occasions);

}  // namespace rundlet::counts

#endif  // RUNDLET_CORE_COUNTS_DIFFERENCES_H_

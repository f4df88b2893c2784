#ifndef RUNDLET_CORE_COUNTS_SHEET_H_
#define RUNDLET_CORE_COUNTS_SHEET_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/fold/fold.h"

namespace rundlet::counts {

// A sheet to count by: bins, and what lies in them by the book, but not how much. It is plain text,
// to be printed or filled in on a phone, and read again.
//
//   at: 2026-11-21 18:30
//   bin: Rack A
//   Harrow White 1@750mL = 8
//   Harrow White 1@375mL =
//
// A line that begins with "#" is a comment, and so is what stands behind a number from "#" on. A
// line without a number was not counted; 0 is a count.
struct SheetLine {
  int number = 0;   // of the line in the text, from 1
  std::string run;  // "Harrow White 1@750mL"
  int64_t bottles = 0;
};
struct SheetBin {
  int number = 0;
  std::string bin;
  std::vector<SheetLine> lines;  // those that were counted
};
struct Sheet {
  std::string at;              // as written; empty: not said
  std::vector<SheetBin> bins;  // those of which something was counted
};

// InvalidArgument: "line 7: ...", what is wrong and what to write instead.
absl::StatusOr<Sheet> ReadSheet(absl::string_view text);

// A sheet to fill in, for the bins in that order.
std::string BlankSheet(const Fold& fold, absl::Span<const Handle> bins);

}  // namespace rundlet::counts

#endif  // RUNDLET_CORE_COUNTS_SHEET_H_

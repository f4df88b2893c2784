#ifndef RUNDLET_CORE_VIEW_HISTORY_H_
#define RUNDLET_CORE_VIEW_HISTORY_H_

#include <map>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "core/view/movement_words.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

// One entry of a thing's history: what the log says of it, and what it changed.
struct HistoryItem {
  // What an entry says of a thing, next to what was said before; empty where nothing was.
  struct Change {
    std::string field;  // "capacity"
    std::string before, after;
  };
  // The void or amendment by which it counts no longer.
  struct Correction {
    Uuid entry_id;
    bool amends = false;  // and stands in its place
    int64_t at_us = 0;
    int32_t utc_offset_min = 0;
    std::string author;
    std::string reason;
  };

  size_t position = 0;  // in the fold's order
  v1::LogLine line;
  Handle device = kNoHandle;  // on which it was written
  std::vector<Change> changes;
  std::vector<MovementWords> movements;
  std::vector<Correction> corrections;  // one, or none
};

// Every entry that concerns a thing, in the order in which things happened, also those that are
// held, void or amended. `with_written`: of a member also every entry that they wrote.
//
// `entry_of` reads an entry; its errors are returned. Cost: one pass over the rows.
using EntryOfRow = absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)>;
absl::StatusOr<std::vector<HistoryItem>> HistoryOf(const Fold& fold, Handle thing,
                                                   bool with_written, EntryOfRow entry_of);

// The name of each device that the journal tells one of.
absl::StatusOr<std::map<Handle, std::string>> DeviceNames(const Fold& fold, EntryOfRow entry_of);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_HISTORY_H_

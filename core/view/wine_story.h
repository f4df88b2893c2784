#ifndef RUNDLET_CORE_VIEW_WINE_STORY_H_
#define RUNDLET_CORE_VIEW_WINE_STORY_H_

#include <cstdint>
#include <vector>

#include "core/fold/fold.h"
#include "rundlet/v1/types.pb.h"

namespace rundlet {

// What happened to the wine that a vessel holds, and which of its readings still hold.

// One entry of the wine's story, and the vessel that it was in then.
struct StoryStep {
  size_t position = 0;  // in the fold's order
  Handle vessel = kNoHandle;
};

// The entries that concerned the wine that is in the vessel now, in order: back through the vessels
// from which it was poured alone into an empty one, to the delivery or the blend that it began as.
// Empty for an empty vessel. Cost: one pass over the entries.
std::vector<StoryStep> StoryOf(const Fold& fold, Handle vessel);

// The position from which on nothing but time and yeast changed the wine's density: after the last
// topping, the last water, sugar or spirit; 0 if there was none.
size_t SameWineSince(const Fold& fold, Handle vessel);

// The latest reading of one kind of the wine in a vessel.
struct KnownReading {
  v1::ReadingKind kind = v1::READING_KIND_UNSPECIFIED;
  v1::ReadingUnit unit = v1::READING_UNIT_UNSPECIFIED;
  int64_t value_micro = 0;  // millionths of the unit
  RowId row = kNone;        // the entry that says so
  // The first entry after it that makes it doubtful, as sulfite makes a reading of free SO2, or
  // water of anything; kNone: it holds.
  RowId changed_by = kNone;
};

// The readings of the wine in a vessel, the latest of each kind that was ever taken of it, also
// before it came into this vessel; whether they still hold is not asked.
std::vector<KnownReading> LatestOfEachKind(const Fold& fold, Handle vessel);

// The same, and whether they hold. Cost: that of StoryOf.
std::vector<KnownReading> KnownReadings(const Fold& fold, Handle vessel);

// All readings of one kind of the wine in a vessel, in order, also those taken in vessels before.
std::vector<KnownReading> ReadingsOf(const Fold& fold, Handle vessel, v1::ReadingKind kind);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_WINE_STORY_H_

#ifndef RUNDLET_CORE_CLOSING_REACH_H_
#define RUNDLET_CORE_CLOSING_REACH_H_

#include <cstdint>

#include "core/base/uuid.h"
#include "core/fold/fold.h"
#include "rundlet/v1/entry.pb.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet::closing {

// How far back an entry reaches. It changes what happened before a time
// - if it is dated before it, or
// - if it voids or amends an entry that is dated before it, or whose place another entry could take
//   that is: of several amendments of one entry the next one counts when the one that did is void.
//
// - if it makes a thing known, or known as something else, that an entry that is dated before it
//   names: a thing is known from the beginning of time (core/fold/directory.h), so what was held
//   for want of it would count from then on. The same holds for the void or the amendment of what
//   made it known.
//
// Some entries change nothing wherever they are dated, and reach nowhere:
// - registrations of all other things: one that comes late, from a device that was away, lets the
//   work that names it be filed after the period.
// - who may write by which key, closings and reopenings: they are about the book, not the cellar.
//
// `changed`, `retired` and settings are held to the date like all others, as they can as well be
// written today: of what is said of a thing the latest counts, for all time. Dated today they
// reach nowhere, though a report of a closed period then shows a new name. To refuse that would
// forbid ever to rename a vessel again; so reports say it (past.h).
struct Reach {
  int64_t at_us = INT64_MAX;
  // What it voids or amends; nil: nothing.
  Uuid target;
  // The place that an amendment takes; nil: it is none.
  Uuid place_device;
  uint64_t place_seq = 0;
  // The thing that it registers, and as what; nil: none.
  Uuid thing;
  v1::Thing::KindCase kind = v1::Thing::KIND_NOT_SET;

  bool registers() const { return !thing.is_nil(); }
  bool reaches_others() const { return !target.is_nil(); }
};

Reach ReachOf(const v1::Entry& entry);

// Whether entries of a body reach nowhere; `body` is the number of its field.
bool ReachesNowhere(int body);

// Whether an entry changes what happened before a time. `fold` has the entries before it in the
// journal, the entry itself or not, settled or not. Costs a pass over the fold's rows where the
// entry voids or amends, or registers a thing that was named already.
bool Changes(const Fold& fold, const Reach& reach, int64_t until_us);

// Whether an entry that is dated before a time, and may count, needs the thing to be known.
bool IsNamedBefore(const Fold& fold, const Uuid& thing, int64_t until_us);

}  // namespace rundlet::closing

#endif  // RUNDLET_CORE_CLOSING_REACH_H_

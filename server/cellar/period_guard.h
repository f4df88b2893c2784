#ifndef RUNDLET_SERVER_CELLAR_PERIOD_GUARD_H_
#define RUNDLET_SERVER_CELLAR_PERIOD_GUARD_H_

#include <optional>
#include <string>
#include <vector>

#include "core/closing/periods.h"
#include "core/closing/reach.h"
#include "core/fold/fold.h"
#include "rundlet/v1/cellar_service.pb.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::server {

// Keeps closed periods closed. What is closed follows from the journal, entry by entry, so that
// every server that has read the same journal decides the same.
//
// Not thread-safe, like the cellar that it belongs to.
class PeriodGuard {
 public:
  // Every entry of the journal, in its order.
  void Take(RowId row, const v1::Entry& entry);

  struct Refusal {
    v1::ReturnReason reason = v1::RETURN_REASON_UNSPECIFIED;
    std::string message;
  };
  // Why an entry may not come next in the journal; nothing if it may. `fold` has all that was taken
  // so far, settled or not.
  //
  // PERIOD_CLOSED: it would change what is closed. NOT_SEEN: it closes a period of which its writer
  // had not seen everything: somebody else's entry reaches into it from a place of the journal that
  // the writer had not read; or the journal is shorter than the writer had seen it, as after a
  // restore, and what is lost may still come back.
  std::optional<Refusal> Check(const Fold& fold, const v1::Entry& entry) const;

 private:
  // What reaches further than its own date: voids, amendments and registrations.
  struct Reacher {
    RowId row;
    closing::Reach reach;
  };

  std::optional<Refusal> CheckClosing(const Fold& fold, const v1::Entry& entry) const;
  // The first row from `begin` on, of another device, that reaches to before a time; kNone.
  RowId FirstUnseen(const Fold& fold, RowId begin, Handle device, int64_t until_us) const;

  closing::Periods periods_;
  std::vector<Reacher> reachers_;  // by row
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_PERIOD_GUARD_H_

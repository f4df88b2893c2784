#ifndef RUNDLET_CLIENT_CELLAR_CLOSED_BOOK_H_
#define RUNDLET_CLIENT_CELLAR_CLOSED_BOOK_H_

#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"
#include "core/closing/past.h"
#include "core/closing/periods.h"

namespace rundlet::client {

// What is closed by a device's book: what the server's journal says, and after that what waits to
// be synced. Looks at the fold; the store is asked for the places of the few closings alone.
absl::StatusOr<closing::Periods> PeriodsOf(Cellar& cellar);

// The cellar as it was before a time, from the whole book. What cannot be read is left out, as it
// is from the cellar.
absl::StatusOr<closing::Past> PastOf(Cellar& cellar, int64_t until_us);

// Whether the cellar of a closed period is still what it was when somebody closed it.
struct ClosingCheck {
  enum class State {
    kSame,
    kRenamed,  // what was done is the same; of things something else is said
    kChanged,
    kCut,  // a part at its end was reopened, so that nobody can tell by the digest
  };
  State state = State::kSame;
  // What has done it, of what the one who closed had not seen: entries that reach into the period,
  // or, where it is only renamed, that say something else of its things. In the order of this book.
  // Empty where the digest differs without any: then another version of the program works the past
  // out differently.
  std::vector<RowId> causes;
};
absl::StatusOr<ClosingCheck> CheckClosing(Cellar& cellar, const closing::Closing& closing);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_CLOSED_BOOK_H_

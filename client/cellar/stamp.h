#ifndef RUNDLET_CLIENT_CELLAR_STAMP_H_
#define RUNDLET_CLIENT_CELLAR_STAMP_H_

#include <cstdint>

#include "absl/types/span.h"
#include "core/fold/fold.h"

namespace rundlet::client {

// The time at which something that happens now is filed: now, or just after the latest entry that
// names one of the same things, where that entry is dated ahead of this device's clock. So a fast
// clock elsewhere does not put an effect before its cause. Things are vessels, bins, lots and
// packets; what is said of things themselves (registered, changed, retired) and settings come after
// every other such saying.
//
// What is void, or dated more than 26 hours ahead, is a slip and pushes nothing on.
int64_t TimeForNow(const Fold& fold, absl::Span<const v1::Entry> drafts, int64_t now_us);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_STAMP_H_

#ifndef RUNDLET_CORE_COSTS_SINKS_H_
#define RUNDLET_CORE_COSTS_SINKS_H_

#include <vector>

#include "absl/container/flat_hash_map.h"
#include "core/fold/fold.h"

namespace rundlet::costs {

// Where wine is in the end: what a vessel holds, or what one bottling session put into glass (less
// what was emptied out of the bottles again). What was lost on the way is nowhere: what it cost is
// borne by what is left.
struct Sink {
  Handle place = kNoHandle;  // the vessel, or the bottling
  Handle lot = kNoHandle;
  bool glass = false;
  int64_t volume_ul = 0;
  absl::flat_hash_map<ParcelId, int64_t> origins;  // microlitres of each
  absl::flat_hash_map<Commodity, int64_t> doses;   // of each material, also packaging
};

// Whether what an entry says is to be reckoned with: it is neither void nor held.
bool Counts(const Fold& fold, RowId row);

// All of them: vessels by handle, then bottling sessions in fold order.
std::vector<Sink> SinksOf(const Fold& fold);

}  // namespace rundlet::costs

#endif  // RUNDLET_CORE_COSTS_SINKS_H_

#ifndef RUNDLET_CORE_REPORTS_RUNNING_H_
#define RUNDLET_CORE_REPORTS_RUNNING_H_

#include <utility>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/status/status.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"

namespace rundlet::reports {

// What is where while a fold's movements are taken one after the other, from the first on: a second
// bookkeeper, which knows nothing but movements. So a past day can be looked at without folding
// again, and the fold's own tables can be checked.
//
// Between the movements of one entry amounts may be below zero for a moment; after the last of them
// they are what the fold had. Not safe to share between threads.
class Running {
 public:
  struct InVessel {
    int64_t volume_ul = 0;
    ParcelId parcel = kNone;  // that it holds; means nothing while it is empty
  };

  // The fold must outlive it.
  explicit Running(const Fold& fold) : fold_(fold) {}

  void Take(const Movement& movement);

  const InVessel& In(Handle vessel) const {
    static constexpr InVessel kEmpty;
    return vessel < vessels_.size() ? vessels_[vessel] : kEmpty;
  }
  // By handle; sparse, as only vessels have one.
  absl::Span<const InVessel> vessels() const { return vessels_; }
  // Of bins, of the stock, and of the bottles that stand opened. Zeros may be among them.
  const absl::flat_hash_map<std::pair<Place, Commodity>, int64_t>& balances() const {
    return balances_;
  }
  // The lot of what is in a vessel; kNoHandle where it is empty or has none.
  Handle LotIn(Handle vessel) const;

  // Once every movement was taken: whether the fold keeps the same. Internal, with the name of the
  // first place where it does not.
  absl::Status Agrees() const;

 private:
  void Add(Place place, Commodity commodity, int64_t amount, ParcelId parcel);

  const Fold& fold_;
  std::vector<InVessel> vessels_;
  absl::flat_hash_map<std::pair<Place, Commodity>, int64_t> balances_;
};

// Whether things at a place are still the cellar's: everywhere but outside, and the bottles that
// stand opened.
constexpr bool IsInside(Place place) {
  return place.kind() != Place::Kind::kOutside || place == Place::Outside(v1::ACCOUNT_OPENED);
}

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_RUNNING_H_

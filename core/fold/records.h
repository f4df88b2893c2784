#ifndef RUNDLET_CORE_FOLD_RECORDS_H_
#define RUNDLET_CORE_FOLD_RECORDS_H_

#include "absl/container/flat_hash_map.h"
#include "core/fold/ids.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Entries kept as they are for those who read more of them than they moved: the care of gear,
// plans, house rules, contributions and costs, occasions that are over; observations that rules ask
// for, which are those of clarity and those that speak of malolactic fermentation; what was
// received at a cost, taken as a member's share, or stirred into water of a known temperature; and
// of any entry, which rules were broken knowingly by it. They are few.
class Records {
 public:
  // Keeps what is to be kept of an entry, if anything is.
  void Add(RowId row, const v1::Entry& entry);

  // The body of a record, or what is said of the rules, without envelope; nullptr for all others.
  const v1::Entry* Find(RowId row) const {
    const auto it = kept_.find(row);
    return it == kept_.end() ? nullptr : &it->second;
  }
  const absl::flat_hash_map<RowId, v1::Entry>& all() const { return kept_; }

 private:
  friend class SnapshotParts;

  absl::flat_hash_map<RowId, v1::Entry> kept_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_RECORDS_H_

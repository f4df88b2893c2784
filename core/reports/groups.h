#ifndef RUNDLET_CORE_REPORTS_GROUPS_H_
#define RUNDLET_CORE_REPORTS_GROUPS_H_

#include <string>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "core/fold/fold.h"
#include "core/reports/register.h"

namespace rundlet::reports {

// A row of the register that wine or bottles belong to; a number of this object's own.
using Group = uint32_t;

// Says to which row of the register each quantity belongs. Remembers what it has found; good as
// long as the fold does not change. Not safe to share between threads.
class Groups {
 public:
  Groups(const Fold& fold, RegisterBy by);

  // Of wine at an end of a movement. Outside, and where no lot is known, it is the group that says
  // nothing.
  Group OfWine(Place place, ParcelId parcel);
  // Of bottles in a bin, or opened.
  Group OfBottles(Place place, Commodity bottles);

  bool Says(Group group) const { return group != kNothing; }
  const std::string& NameOf(Group group) const { return groups_[group].name; }
  Handle ThingOf(Group group) const { return groups_[group].thing; }

 private:
  static constexpr Group kNothing = 0;

  struct Known {
    std::string name;
    Handle thing = kNoHandle;
  };

  Group OfLot(Handle lot);
  Group OfThing(Handle thing, Place::Kind kind);
  Handle LotOfRun(Handle bottling) const;

  const Fold& fold_;
  const RegisterBy by_;
  std::vector<Known> groups_;
  absl::flat_hash_map<uint64_t, Group> of_thing_;
  absl::flat_hash_map<std::string, Group> of_class_;
  absl::flat_hash_map<Handle, Handle> lot_of_run_;  // of its first session
};

// "white, still, 2026": a lot's colour, style and vintage, as far as they were said.
std::string ClassOfLot(const Fold& fold, Handle lot);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_GROUPS_H_

#ifndef RUNDLET_CORE_COSTS_SHARES_H_
#define RUNDLET_CORE_COSTS_SHARES_H_

#include <cstdint>
#include <vector>

#include "core/fold/fold.h"

namespace rundlet::costs {

// What the members put into a lot, and what of its bottles each is entitled to: whole bottles by
// the worth of what they put in, remainders by the largest, so that all bottles are shared out.
// What was sold, served, broken or lost is borne by all alike. By size of bottle, as a magnum is no
// bottle.
struct MemberShare {
  Handle member = kNoHandle;
  int64_t worth_cents = 0;
  int64_t fruit_ug = 0;
  int64_t work_min = 0;
};

struct SizeShare {
  int64_t size_ul = 0;
  int64_t to_share = 0;  // bottles of the lot's runs that are there, or were taken as a share
  std::vector<int64_t> entitled;  // by member, as in LotShares::members; they add up to `to_share`
  std::vector<int64_t> taken;     // as their share
};

struct LotShares {
  Handle lot = kNoHandle;
  std::vector<MemberShare> members;  // by name; also those who only took bottles
  std::vector<SizeShare> sizes;      // by size
  int64_t worth_cents() const;
};

LotShares SharesOf(const Fold& fold, Handle lot);

}  // namespace rundlet::costs

#endif  // RUNDLET_CORE_COSTS_SHARES_H_

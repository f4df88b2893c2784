#ifndef RUNDLET_CORE_COSTS_COSTS_H_
#define RUNDLET_CORE_COSTS_COSTS_H_

#include <cstdint>
#include <string>
#include <vector>

#include "core/fold/fold.h"

namespace rundlet::costs {

// What wine cost, in whole cents of the cellar's currency, and exactly: what was paid is shared out
// to the cent over where the wine is now and what was bottled of it, and every part adds up.
//
// - A delivery of juice, must or wine: by how much of it is where, through any blends.
// - A packet: what was used of it, by its part of the whole delivery; shared out by how much of it
//   is in which wine. Packaging is the bottles' own. What is still in stock cost, but no wine.
// - A cost of a lot (gear, freight, excise): by volume over what is of that lot, and what of its
//   deliveries went into other lots. A cost of the whole cellar: by volume over all.
// What was lost, tasted or sold from the cask is borne by what is left. Where nothing is left, the
// cost is "spent".
enum class CostKind { kWine, kMaterial, kLot, kCellar };

struct Cost {
  CostKind kind = CostKind::kWine;
  RowId row = kNone;        // the entry that says it
  Handle what = kNoHandle;  // the lot received, or the packet
  int64_t cents = 0;
  bool excise = false;
  std::string text;  // of a cost that was entered: what for
};

// A part of a cost, where it ended.
struct CostPart {
  size_t cost = 0;   // in CostBook::costs
  size_t place = 0;  // in CostBook::places
  int64_t cents = 0;
};

// The wine of a vessel, or of a bottling (all its sessions).
struct CostPlace {
  Handle place = kNoHandle;
  Handle lot = kNoHandle;
  bool glass = false;
  int64_t volume_ul = 0;
  int64_t bottles = 0;  // of all sizes, filled less emptied
  int64_t cents = 0;

  // To the nearest cent, half a cent to the even one; 0 where there are none.
  int64_t CentsPerBottle() const;
};

struct CostBook {
  std::vector<Cost> costs;        // in fold order
  std::vector<CostPlace> places;  // vessels, then bottlings; by name
  std::vector<CostPart> parts;
  int64_t in_stock_cents = 0;  // of packets that are not used up
  int64_t spent_cents = 0;     // of wine that is nowhere any more

  int64_t total_cents() const;
};

CostBook MakeCostBook(const Fold& fold);

}  // namespace rundlet::costs

#endif  // RUNDLET_CORE_COSTS_COSTS_H_

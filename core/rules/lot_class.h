#ifndef RUNDLET_CORE_RULES_LOT_CLASS_H_
#define RUNDLET_CORE_RULES_LOT_CLASS_H_

#include "core/rules/limit.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet::rules {

// The class of a finished wine of a lot, by what people have said of it. What they have not said is
// taken for still, of grapes, conventional; a colour in words that are not known here, or none, is
// not known. Its sugar is a matter of readings, not of the lot.
WineClass ClassOfLot(const rundlet::v1::Lot& lot);

// Whether people have said that it is for their own home.
bool IsForHome(const rundlet::v1::Lot& lot);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_LOT_CLASS_H_

#ifndef RUNDLET_CLIENT_COMMANDS_BOTTLE_CAUTIONS_H_
#define RUNDLET_CLIENT_COMMANDS_BOTTLE_CAUTIONS_H_

#include <string>

#include "core/base/uuid.h"
#include "core/fold/fold.h"
#include "core/quantity/when.h"

namespace rundlet::client {

// What must be said before wine of a vessel goes into glass: its last readings of density and sugar
// with their age, and that bottles burst where sugar ferments on in them. In stronger words where
// the density is above 1.000, the sugar above 4 g/L, or no reading of either holds. `fold` is the
// book at the time of bottling, `now` that time.
std::string BottlingCaution(const Fold& fold, const Uuid& vessel, const When& now);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_BOTTLE_CAUTIONS_H_

#ifndef RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_
#define RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_

#include "absl/strings/string_view.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet::client {

// Fills in what is generally known of a material by its common name and was not said: how it is
// measured, the volume that it brings, the SO2 that it yields, a caution. False if the name is not
// known.
//
// SO2 by stoichiometry (2 SO2 of 64.066 g/mol from K2S2O5 of 222.32 and Na2S2O5 of 190.11 g/mol);
// packets lose some of it with age. Sugar takes about 0.62 mL a gram once dissolved: common
// practice, from the density of its solutions.
bool FillInKnownMaterial(absl::string_view name, v1::Material& material);

// How a material of a kind is measured where nothing else is said: closures, bottles and the like
// in pieces, water and spirit by volume, all others by weight.
v1::Dimension UsualDimension(absl::string_view kind);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_

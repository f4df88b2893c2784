#ifndef RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_
#define RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_

#include <string>

#include "absl/strings/string_view.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet::client {

// Fills in what is generally known of a material by its name or kind and was not said: its kind,
// how it is measured, the volume that it brings, the SO2 that it yields, allergens, a caution.
// Names are known by the words in them, in the spellings that packets carry ("metabisulphite",
// "E224").
//
// SO2 by stoichiometry (2 SO2 of 64.066 g/mol from K2S2O5 of 222.32 and Na2S2O5 of 190.11 g/mol);
// packets lose some of it with age. Sugar takes about 0.62 mL a gram once dissolved: common
// practice, from the density of its solutions. What is poured brings its own volume.
void FillInKnownMaterial(v1::Material& material);

// How a material of a kind is measured where nothing else is said: closures, bottles and the like
// in pieces, water and spirit by volume, all others by weight.
v1::Dimension UsualDimension(absl::string_view kind);

// What to mind with a material: its own caution, else the usual one; empty if there is none.
std::string CautionOf(const v1::Material& material);

// Whether it is one that gives SO2, by what is said of it or by its name.
bool IsSulfite(const v1::Material& material);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_KNOWN_MATERIALS_H_

#ifndef RUNDLET_CORE_OENOLOGY_CAUTION_H_
#define RUNDLET_CORE_OENOLOGY_CAUTION_H_

#include "absl/strings/string_view.h"

namespace rundlet::oenology {

// What can hurt someone at an act, said in one sentence beside its number. None of it replaces the
// label of the product, local codes, or advice of who is licensed to give it.
enum class Caution {
  kSulfurDioxide,  // gas from sulfite, asthma
  kAcid,           // concentrated acids and their dust
  kAlkali,         // carbonates
  kLye,            // the base of a titration
  kCarbonDioxide,  // fermenting in closed rooms
  kPressure,       // sugar left, bottles that burst
  kHotGlass,       // hot water and glass
  kAllergen,       // egg, milk, fish, crustaceans, sulfite on the label
  kFlammable,      // spirit
  kCopper,         // toxic, with a ceiling
  kLegalCeiling,   // a limit is a ceiling, not a dose; check with the authority
};

// One sentence, and for --explain a few more.
absl::string_view CautionText(Caution caution);
absl::string_view CautionMore(Caution caution);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_CAUTION_H_

#ifndef RUNDLET_CORE_OENOLOGY_ANSWERS_PARTS_H_
#define RUNDLET_CORE_OENOLOGY_ANSWERS_PARTS_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "core/oenology/answer.h"

// What answers about additions share.
namespace rundlet::oenology {

// A limit that the caller knows of: a law, a certificate, a house rule. In the unit of the answer
// it is handed to.
struct Ceiling {
  std::string name;  // "EU, red, dry"
  double limit = 0;
};

// The room that is left under each at `level`, as figures; a warning for each that is passed, and
// one if there is none to go by. What is no limit (negative, not finite) is passed over with a
// warning.
void AddRoom(absl::string_view what, double level, const std::vector<Ceiling>& ceilings,
             absl::string_view unit, int decimals, Answer& answer);

// Decimals with which an amount can be weighed or measured: three significant digits, at most 3.
int AmountDecimals(double amount);
// A mass as a figure: g, or kg from 1000 g on.
void AddMass(absl::string_view label, double mass_g, Answer& answer);
// A mass in words: "8.68 g", "1.25 kg".
std::string PrintMass(double mass_g);
// mL below a litre, L above.
void AddVolume(absl::string_view label, double volume_ml, Answer& answer);
std::string PrintVolume(double volume_ml);

}  // namespace rundlet::oenology

#endif  // RUNDLET_CORE_OENOLOGY_ANSWERS_PARTS_H_

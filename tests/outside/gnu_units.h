#ifndef RUNDLET_TESTS_OUTSIDE_GNU_UNITS_H_
#define RUNDLET_TESTS_OUTSIDE_GNU_UNITS_H_

#include <string>

namespace rundlet {

// What GNU units (Debian package "units", its definitions.units) makes of "have" in "want", with 15
// digits. Where the program is missing or prints no number the test fails and this is NaN: a check
// that nobody ran is no check. `definitions` are lines of units' own language that count before its
// file, such as "baumeconst 144".
double AskUnits(const std::string& have, const std::string& want,
                const std::string& definitions = "");

}  // namespace rundlet

#endif  // RUNDLET_TESTS_OUTSIDE_GNU_UNITS_H_

#include "core/oenology/answers/parts.h"

#include <algorithm>
#include <cmath>

#include "absl/strings/str_cat.h"

namespace rundlet::oenology {
namespace {

Figure Mass(absl::string_view label, double mass_g) {
  const bool kilos = std::fabs(mass_g) >= 1000;
  const double amount = kilos ? mass_g / 1000 : mass_g;
  return {std::string(label), amount, AmountDecimals(amount), kilos ? "kg" : "g"};
}

Figure Volume(absl::string_view label, double volume_ml) {
  const bool litres = std::fabs(volume_ml) >= 1000;
  const double amount = litres ? volume_ml / 1000 : volume_ml;
  return {std::string(label), amount, AmountDecimals(amount), litres ? "L" : "mL"};
}

}  // namespace

void AddRoom(absl::string_view what, double level, const std::vector<Ceiling>& ceilings,
             absl::string_view unit, int decimals, Answer& answer) {
  answer.Mind(Caution::kLegalCeiling);
  if (ceilings.empty()) {
    answer.Warn(absl::StrCat("no ceiling for ", what, " was given to compare with"));
    return;
  }
  for (const Ceiling& ceiling : ceilings) {
    if (!std::isfinite(ceiling.limit) || ceiling.limit < 0) {
      answer.Warn(absl::StrCat(ceiling.name, " is no limit that can be compared with"));
      continue;
    }
    const double room = ceiling.limit - level;
    answer.Add(absl::StrCat("room under ", ceiling.name, " (", Print(ceiling.limit, decimals), " ",
                            unit, ")"),
               room, decimals, unit);
    if (room < 0) {
      answer.Warn(absl::StrCat(what, " of ", Print(level, decimals), " ", unit, " would be above ",
                               ceiling.name, ", which allows ", Print(ceiling.limit, decimals), " ",
                               unit));
    }
  }
}

int AmountDecimals(double amount) {
  const double size = std::fabs(amount);
  if (!(size > 0)) return 0;
  return std::clamp(2 - static_cast<int>(std::floor(std::log10(size))), 0, 3);
}

void AddMass(absl::string_view label, double mass_g, Answer& answer) {
  answer.figures.push_back(Mass(label, mass_g));
}

std::string PrintMass(double mass_g) { return PrintFigure(Mass("", mass_g)); }

void AddVolume(absl::string_view label, double volume_ml, Answer& answer) {
  answer.figures.push_back(Volume(label, volume_ml));
}

std::string PrintVolume(double volume_ml) { return PrintFigure(Volume("", volume_ml)); }

}  // namespace rundlet::oenology

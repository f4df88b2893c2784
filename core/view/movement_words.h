#ifndef RUNDLET_CORE_VIEW_MOVEMENT_WORDS_H_
#define RUNDLET_CORE_VIEW_MOVEMENT_WORDS_H_

#include <string>

#include "core/fold/fold.h"

namespace rundlet {

// A movement in words. What is used of a material goes to where the wine is that it was put into,
// and wine that is filled into glass to its run.
struct MovementWords {
  std::string what;    // "wine", a packet, a bottling run
  std::string amount;  // "5 L", "2 g", "12 x 750 mL"
  std::string from, to;
};
MovementWords WordsOf(const Fold& fold, const Movement& movement);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_MOVEMENT_WORDS_H_

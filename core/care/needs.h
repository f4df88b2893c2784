#ifndef RUNDLET_CORE_CARE_NEEDS_H_
#define RUNDLET_CORE_CARE_NEEDS_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/time/civil_time.h"
#include "core/fold/fold.h"
#include "core/quantity/amount.h"

namespace rundlet::care {

// What of a material is on hand, and what the running plans will want of it.
struct Need {
  std::string material;       // its name, or the word for it where several materials answer
  Handle handle = kNoHandle;  // kNoHandle: the plans name something that nobody has registered
  Dimension dimension = Dimension::kMass;
  int64_t on_hand = 0;  // in packets that are good until they are needed
  int64_t expired = 0;  // in packets that are past their date, or will be before the first use
  int64_t wanted = 0;   // by steps of running plans that are not done, for what the vessels hold
  int64_t keep = 0;     // at least so much is to be on hand
  bool unmeasured = false;   // some step takes however much it needs
  int64_t first_use_us = 0;  // of the earliest of those steps; 0: none wants any
  std::vector<std::string> plans;

  // What must be bought: what is wanted, and what is to be left after that.
  int64_t Short() const { return wanted + keep > on_hand ? wanted + keep - on_hand : 0; }
};

// By material's name, those that a plan wants or that are to be kept on hand. Steps that fall due
// up to `until_us` count. `today` decides which packets have expired.
std::vector<Need> NeedsOf(const Fold& fold, int64_t now_us, int64_t until_us, absl::CivilDay today);

}  // namespace rundlet::care

#endif  // RUNDLET_CORE_CARE_NEEDS_H_

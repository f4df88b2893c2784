#ifndef RUNDLET_CLIENT_DOSE_CEILINGS_H_
#define RUNDLET_CLIENT_DOSE_CEILINGS_H_

#include <vector>

#include "client/dose/dose_subject.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/fining.h"

namespace rundlet::client {

// What a legal limit limits.
enum class CeilingOf {
  kTotalSo2,    // mg/L
  kSorbicAcid,  // mg/L
  kCopper,      // mg/L in the wine
  kAcidAdded,   // g/L as tartaric
  kAcidTaken,   // g/L as tartaric
  kNutrient,    // mg/L
  kBentonite,
  kPvpp,
  kTannin,
  kSilica,
  kChitosan,
  kOther,  // no limit is known here
};

CeilingOf CeilingOfFining(oenology::Fining fining);

// The limits of the cellar's jurisdictions, named as they should be quoted, in the unit above.
std::vector<oenology::Ceiling> CeilingsFor(const DoseCase& dose, CeilingOf what);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_CEILINGS_H_

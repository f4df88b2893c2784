#ifndef RUNDLET_CLIENT_DOSE_CEILINGS_H_
#define RUNDLET_CLIENT_DOSE_CEILINGS_H_

#include <vector>

#include "client/dose/dose_subject.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/fining.h"
#include "rundlet/rules/v1/limit.pb.h"

namespace rundlet::client {

// What a ceiling is compared with, and how.
struct CeilingQuestion {
  rules::v1::Substance substance;
  bool in_the_wine = false;  // else with what is added
  bool per_g = false;        // g/L in place of mg/L
  bool in_must = false;      // it goes into must; else into wine
};

// The legal ceilings of the cellar's jurisdictions on the wine of a dose, named as they should be
// quoted. The colour is the lot's, the sugar that of the latest reading; where they are not known,
// the ceilings of all classes stand side by side; all else is as its lot says (lot_class.h). What the
// law says and cannot be compared with one number - a sum of substances, another basis - and what
// it does not say goes into `dose.notes`, never unsaid.
std::vector<oenology::Ceiling> CeilingsFor(const DoseCase& dose, const CeilingQuestion& question);

// What the law calls a fining.
rules::v1::Substance SubstanceOf(oenology::Fining fining);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_CEILINGS_H_

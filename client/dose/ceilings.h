#ifndef RUNDLET_CLIENT_DOSE_CEILINGS_H_
#define RUNDLET_CLIENT_DOSE_CEILINGS_H_

#include <vector>

#include "client/dose/dose_subject.h"
#include "core/oenology/answers/parts.h"
#include "core/oenology/fining.h"
#include "rundlet/rules/v1/limit.pb.h"

namespace rundlet::client {

// The legal ceilings on a substance in the cellar's jurisdictions for the wine of a dose, named as
// they should be quoted, in mg/L (or g/L where `per_g`). The colour is the lot's, the sugar that of
// the latest reading; where they are not known, the ceilings of all classes stand side by side. It
// is taken for a still wine of grapes, and said so by the names.
std::vector<oenology::Ceiling> CeilingsFor(const DoseCase& dose, rules::v1::Substance substance,
                                           bool per_g = false);

// What the law calls a fining; SUBSTANCE_UNSPECIFIED, for which no ceiling is known, for oak.
rules::v1::Substance SubstanceOf(oenology::Fining fining);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_DOSE_CEILINGS_H_

#include "client/dose/ceilings.h"

namespace rundlet::client {

CeilingOf CeilingOfFining(oenology::Fining fining) {
  using oenology::Fining;
  switch (fining) {
    case Fining::kBentonite:
      return CeilingOf::kBentonite;
    case Fining::kSilicaSol:
      return CeilingOf::kSilica;
    case Fining::kChitosan:
      return CeilingOf::kChitosan;
    case Fining::kPvpp:
      return CeilingOf::kPvpp;
    case Fining::kTannin:
      return CeilingOf::kTannin;
    default:
      return CeilingOf::kOther;
  }
}

std::vector<oenology::Ceiling> CeilingsFor(const DoseCase&, CeilingOf) { return {}; }

}  // namespace rundlet::client

#include "core/evidence/enrolment.h"

#include "absl/strings/str_cat.h"

namespace rundlet::evidence {

std::string EnrolmentMessage(const Enrolment& enrolment) {
  return absl::StrCat("rundlet/enrol/1\n", enrolment.cellar_id.bytes(), enrolment.device_id.bytes(),
                      enrolment.device_key.bytes(), enrolment.invitation_key.bytes());
}

}  // namespace rundlet::evidence

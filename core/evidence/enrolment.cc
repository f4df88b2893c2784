#include "core/evidence/enrolment.h"

#include "absl/strings/str_cat.h"

namespace rundlet::evidence {

std::string EnrolmentMessage(const Enrolment& enrolment) {
  return absl::StrCat("rundlet/enrol/1\n", enrolment.cellar_id.bytes(), enrolment.device_id.bytes(),
                      enrolment.device_key.bytes(), enrolment.invitation_key.bytes());
}

bool IsSignedByInvitation(const Uuid& cellar_id, const Uuid& device_id,
                          const v1::DeviceEnrolled& said) {
  const auto device_key = PublicKey::FromBytes(said.public_key());
  const auto invitation_key = PublicKey::FromBytes(said.invitation_key());
  return device_key.ok() && invitation_key.ok() &&
         invitation_key->Verify(EnrolmentMessage({.cellar_id = cellar_id,
                                                  .device_id = device_id,
                                                  .device_key = *device_key,
                                                  .invitation_key = *invitation_key}),
                                said.invitation_signature());
}

}  // namespace rundlet::evidence

#ifndef RUNDLET_CORE_EVIDENCE_ENROLMENT_H_
#define RUNDLET_CORE_EVIDENCE_ENROLMENT_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"
#include "rundlet/v1/identity.pb.h"

namespace rundlet::evidence {

// A device that comes in by an invitation. The invitation holds the secret half of a key; who
// invites writes the public half into the journal (v1.Invited). The newcomer signs its own key with
// the invitation's, and everybody can check later who let which key in. The server is asked to
// believe nobody, and nobody has to believe the server.
struct Enrolment {
  Uuid cellar_id;
  Uuid device_id;
  PublicKey device_key;
  PublicKey invitation_key;
};

// What is signed, by both keys: "rundlet/enrol/1\n", cellar, device, the device's key, the
// invitation's key.
std::string EnrolmentMessage(const Enrolment& enrolment);

// Whether the invitation that `said` names signed the key that it says, for this device of this
// cellar.
bool IsSignedByInvitation(const Uuid& cellar_id, const Uuid& device_id,
                          const v1::DeviceEnrolled& said);

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_ENROLMENT_H_

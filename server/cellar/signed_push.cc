#include "server/cellar/signed_push.h"

#include <algorithm>
#include <string>
#include <vector>

#include "core/evidence/enrolment.h"
#include "core/evidence/seal.h"
#include "server/errors.h"

namespace rundlet::server {
namespace {

bool IsInJournal(const PushedEntry& pushed) {
  const v1::DispositionKind kind = pushed.disposition.kind();
  return kind == v1::DISPOSITION_KIND_RECORDED || kind == v1::DISPOSITION_KIND_ALREADY_RECORDED;
}

// Whether the seal has a place already: the device handed the same in twice.
bool Has(const v1::Seal& seal, uint64_t seq) {
  return std::any_of(seal.parts().begin(), seal.parts().end(), [seq](const v1::SealPart& part) {
    return part.has_run() && seq >= part.run().first_seq() &&
           seq - part.run().first_seq() < part.run().count();
  });
}

void AddPart(const PushedEntry& pushed, v1::Seal& seal) {
  if (!IsInJournal(pushed) || Has(seal, pushed.disposition.seq())) {
    seal.add_parts()->set_absent_hash(std::string(HashBytes(pushed.leaf_hash)));
    return;
  }
  const uint64_t seq = pushed.disposition.seq();
  if (seal.parts_size() > 0 && seal.parts().rbegin()->has_run()) {
    v1::SealRun& run = *seal.mutable_parts()->rbegin()->mutable_run();
    if (run.first_seq() + run.count() == seq) return run.set_count(run.count() + 1);
  }
  v1::SealRun& run = *seal.add_parts()->mutable_run();
  run.set_first_seq(seq);
  run.set_count(1);
}

}  // namespace

absl::Status VerifySignature(const Device& device, absl::Span<const PushedEntry> entries,
                             absl::string_view signature) {
  if (!device.public_key.has_value()) return MakeError(Error::kNoDeviceKey);
  std::vector<Hash> leaves;
  leaves.reserve(entries.size());
  for (const PushedEntry& pushed : entries) leaves.push_back(pushed.leaf_hash);
  return evidence::VerifySeal(evidence::SealOf(device.cellar_id, device.device_id, leaves),
                              *device.public_key, signature)
             ? absl::OkStatus()
             : MakeError(Error::kBadSignature);
}

std::optional<v1::Seal> SealOf(const Push& push) {
  if (push.signature.empty()) return std::nullopt;
  v1::Seal seal;
  for (const PushedEntry& pushed : push.entries) {
    AddPart(pushed, seal);
    if (pushed.disposition.kind() == v1::DISPOSITION_KIND_RECORDED)
      seal.set_last_seq(pushed.disposition.seq());
  }
  if (seal.last_seq() == 0) return std::nullopt;
  seal.set_device_id(push.device.device_id.ToBytes());
  seal.set_signature(push.signature);
  return seal;
}

void CheckEnrolment(const Device& device, const LoadedCellar& cellar, PushedEntry& pushed) {
  if (!device.public_key.has_value()) return;
  const bool enrolled = cellar.IsEnrolled(device.device_id);
  if (!pushed.entry.has_device_enrolled()) {
    if (!enrolled)
      pushed.Return(v1::RETURN_REASON_NOT_ALLOWED,
                    "the first entry that a device hands in says by which key it signs");
    return;
  }
  const v1::DeviceEnrolled& body = pushed.entry.device_enrolled();
  if (!enrolled && body.public_key() != device.public_key->bytes())
    return pushed.Return(v1::RETURN_REASON_NOT_ALLOWED,
                         "this is not the key that the device came in with");
  if (!body.invitation_key().empty() &&
      !evidence::IsSignedByInvitation(device.cellar_id, device.device_id, body))
    pushed.Return(v1::RETURN_REASON_NOT_ALLOWED,
                  "the invitation that it names did not sign this key");
}

const v1::DeviceEnrolled* NewKeyIn(const Push& push) {
  const v1::DeviceEnrolled* newest = nullptr;
  for (const PushedEntry& pushed : push.entries) {
    if (pushed.disposition.kind() == v1::DISPOSITION_KIND_RECORDED &&
        pushed.entry.has_device_enrolled())
      newest = &pushed.entry.device_enrolled();
  }
  return newest;
}

}  // namespace rundlet::server

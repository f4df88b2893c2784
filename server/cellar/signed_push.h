#ifndef RUNDLET_SERVER_CELLAR_SIGNED_PUSH_H_
#define RUNDLET_SERVER_CELLAR_SIGNED_PUSH_H_

#include <optional>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "rundlet/v1/seal.pb.h"
#include "server/cellar/loaded_cellar.h"
#include "server/cellar/push.h"
#include "server/store/device_store.h"

namespace rundlet::server {

// Whether the device signed these entries, all of them and in this order: an error of errors.h
// (kNoDeviceKey, kBadSignature) if not.
absl::Status VerifySignature(const Device& device, absl::Span<const PushedEntry> entries,
                             absl::string_view signature);

// What is kept of the signature of a push whose entries are decided, for the other devices; nothing
// where no entry is new, or nobody signed.
std::optional<v1::Seal> SealOf(const Push& push);

// Decides an entry that says by which key its device signs if that is not so, and every entry of a
// device that has a key and has not said it yet: others could not check what it signed.
void CheckEnrolment(const Device& device, const LoadedCellar& cellar, PushedEntry& pushed);

// The key that a push brings into the journal for its device; nullptr if none.
const v1::DeviceEnrolled* NewKeyIn(const Push& push);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_SIGNED_PUSH_H_

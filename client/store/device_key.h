#ifndef RUNDLET_CLIENT_STORE_DEVICE_KEY_H_
#define RUNDLET_CLIENT_STORE_DEVICE_KEY_H_

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "client/base/environment.h"
#include "client/store/store_home.h"
#include "core/evidence/signing_key.h"

namespace rundlet::client {

// The key by which a device signs what it hands in, in a file of its owner's alone (0600).

// NotFound: it has none. FailedPrecondition: others can read the file, or it holds no key; the text
// says what to do.
absl::StatusOr<evidence::SigningKey> ReadDeviceKey(const StoreHome& home);

// Makes one of random bytes. It is on disk before this returns. AlreadyExists if there is one.
absl::StatusOr<evidence::SigningKey> MakeDeviceKey(const StoreHome& home, const Environment& env);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_DEVICE_KEY_H_

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

// A device changes its key in two steps, so that a kill between them leaves one that is good. The
// next key is made and lies beside; an entry that the old one signs says it (v1.DeviceEnrolled);
// and when the server has that, the next key takes the old one's place. Until then the old one
// signs. Making a next key again replaces it.
absl::StatusOr<evidence::SigningKey> MakeNextDeviceKey(const StoreHome& home,
                                                       const Environment& env);
// The journal, as it was checked here, has an entry of this device that says `public_key`: if that
// is the next key's, it becomes the key. The one so far is kept, for a server that is set back to
// before the change. Nothing happens otherwise.
absl::Status AdoptDeviceKey(const StoreHome& home, absl::string_view public_key);
// The key that the server expects this device to sign by: the one of `public_key`, if it is here -
// as the key, the next or the one before -, else the key. NotFound: there is none.
absl::StatusOr<evidence::SigningKey> DeviceKeyFor(const StoreHome& home,
                                                  absl::string_view public_key);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_DEVICE_KEY_H_

#ifndef RUNDLET_CLIENT_SYNC_JOIN_H_
#define RUNDLET_CLIENT_SYNC_JOIN_H_

#include <string>

#include "absl/status/statusor.h"
#include "client/base/environment.h"
#include "client/store/store.h"
#include "client/sync/remote.h"

namespace rundlet::client {

// Makes the store of the device that `remote` takes us for, with its token; or, where this device
// has joined already, takes the token and the address as its new ones. AlreadyExists if the store
// is another device's.
absl::StatusOr<Store> JoinCellar(const StoreHome& home, const std::string& server,
                                 const std::string& token, Remote& remote);

// Writes the entry that registers the device's member, where nobody has registered them yet and
// they may write. The journal has been pulled. True if it wrote one.
absl::StatusOr<bool> RegisterMember(const StoreHome& home, const Environment& env);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_JOIN_H_

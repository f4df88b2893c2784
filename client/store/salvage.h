#ifndef RUNDLET_CLIENT_STORE_SALVAGE_H_
#define RUNDLET_CLIENT_STORE_SALVAGE_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "client/store/store_home.h"

namespace rundlet::client {

struct Salvaged {
  int64_t outbox = 0;
  int64_t recorded = 0;
  int64_t returned = 0;
  std::string kept_as;        // where the damaged file lies now
  bool device_known = false;  // false: what device this is could not be read, join again
};

// Makes a new store from what is whole of a damaged one. The file is read page by page, whatever
// SQLite thinks of it; an entry is whole when its bytes match the hash beside it. The damaged file
// is kept under another name. What was recorded and is lost comes back with the next sync.
//
// FailedPrecondition: not one whole entry was found, and whose book it was cannot be read either;
// nothing is changed then.
absl::StatusOr<Salvaged> SalvageStore(const StoreHome& home, int64_t now_us);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_SALVAGE_H_

#ifndef RUNDLET_CLIENT_STORE_LAST_SAVED_H_
#define RUNDLET_CLIENT_STORE_LAST_SAVED_H_

#include <cstdint>

#include "absl/status/status.h"
#include "client/store/store_home.h"
#include "core/base/uuid.h"

namespace rundlet::client {

// A witness beside the book: the running number of the last entry that this device has saved, in
// the file `last-saved`. A database whose end was cut off, or whose log ends early because its last
// page is damaged, is a sound database of an earlier moment; only something outside of it can say
// that there was more.
//
// It is written after the entry is durable, and not flushed: a power cut may set it back, which
// does no harm, and it never runs ahead.

// Best effort: the entry is saved whatever becomes of this.
void WriteLastSaved(const StoreHome& home, const Uuid& device_id, uint64_t device_seq);
// 0 where there is none, or it is another device's: a home that joins again begins anew.
uint64_t ReadLastSaved(const StoreHome& home, const Uuid& device_id);
// After a repair, which has told what is left.
absl::Status ForgetLastSaved(const StoreHome& home);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_LAST_SAVED_H_

#ifndef RUNDLET_CORE_ENTRY_WRITER_H_
#define RUNDLET_CORE_ENTRY_WRITER_H_

#include <string>

#include "absl/status/statusor.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Who writes, on what.
struct Writer {
  Uuid cellar_id;
  Uuid member_id;
  Uuid device_id;
};

// The last entry of a device's own chain; seq 0 and no hash before the first.
struct ChainHead {
  uint64_t device_seq = 0;
  Hash hash = {};
};

// An entry that is written: what was meant, and the exact bytes that are kept, hashed and sent.
struct WrittenEntry {
  v1::Entry entry;
  std::string bytes;
  Hash hash;
};

// Completes `draft`, which holds body, times, note and amendment, with its envelope, checks it and
// makes its bytes. `head` moves on to the new entry. InvalidArgument, with `head` as it was, if it
// is not well formed.
absl::StatusOr<WrittenEntry> WriteEntry(const Writer& writer, const Uuid& entry_id, v1::Entry draft,
                                        ChainHead& head);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_WRITER_H_

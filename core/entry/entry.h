#ifndef RUNDLET_CORE_ENTRY_ENTRY_H_
#define RUNDLET_CORE_ENTRY_ENTRY_H_

#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Reads the exact bytes of an entry and checks that it is well formed by itself: envelope complete,
// ids of 16 bytes, amounts above zero and within core/entry/limits.h, exactly one body.
//
// InvalidArgument: it will never be an entry; the text says what is wrong with it.
// Unimplemented: the envelope is sound, but the format or the kind is newer than this build; keep
// the bytes and upgrade.
absl::StatusOr<v1::Entry> ParseEntry(absl::string_view bytes);

// The checks of ParseEntry on an entry that is already read.
absl::Status CheckEntry(const v1::Entry& entry);

// The RFC 9162 section 2.1.1 leaf hash of an entry's exact bytes: SHA-256(0x00 || bytes). It stands
// for the entry in its device's chain (Entry.previous_hash); a tree over the journal can take it as
// its leaf. `sha` is reused between calls.
Hash LeafHash(Sha256& sha, absl::string_view bytes);

// The name of an entry's kind as people and filters write it: that of its body's field ("racking").
absl::string_view KindName(const v1::Entry& entry);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_ENTRY_H_

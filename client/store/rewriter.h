#ifndef RUNDLET_CLIENT_STORE_REWRITER_H_
#define RUNDLET_CLIENT_STORE_REWRITER_H_

#include <cstdint>
#include <string>
#include <utility>

#include "absl/container/flat_hash_map.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/uuid.h"
#include "core/entry/writer.h"

namespace rundlet::client {

// A device and a running number of it: where an entry stands among those of its moment.
struct Place {
  Uuid device_id;
  uint64_t device_seq = 0;

  friend bool operator==(const Place&, const Place&) = default;
  template <typename H>
  friend H AbslHashValue(H state, const Place& place) {
    return H::combine(std::move(state), place.device_id, place.device_seq);
  }
};

// The place of an entry: its own, or that of the entry which it amends.
Place PlaceOf(const v1::Entry& entry);

// Writes entries of one device anew as those of another, or of another cellar. What they are about
// stays: id, body, times, note. Cellar, author, device, running number and chain are the new
// writer's. An amendment follows the entry whose place it stands at; so entries must come in the
// order in which they were first written.
class Rewriter {
 public:
  // `head` is the end of the new writer's chain.
  Rewriter(const Writer& writer, const ChainHead& head) : writer_(writer), head_(head) {}

  // What stood at a place stands at another one now.
  void Moved(const Place& from, const Place& to) { moved_[from] = to; }

  // The entry with these bytes, as the new writer's next one. `add_note` is put behind its note, as
  // far as there is room. Unimplemented: it is of a newer Rundlet; the text says what to do.
  absl::StatusOr<WrittenEntry> Rewrite(absl::string_view bytes, absl::string_view add_note = "");

  // An entry of the new writer's own.
  absl::StatusOr<WrittenEntry> Write(const Uuid& entry_id, v1::Entry draft);

  const ChainHead& head() const { return head_; }

 private:
  Writer writer_;
  ChainHead head_;
  absl::flat_hash_map<Place, Place> moved_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_REWRITER_H_

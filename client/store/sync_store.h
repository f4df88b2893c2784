#ifndef RUNDLET_CLIENT_STORE_SYNC_STORE_H_
#define RUNDLET_CLIENT_STORE_SYNC_STORE_H_

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "client/store/store.h"
#include "rundlet/v1/seal.pb.h"

namespace rundlet::client {

// What the server said of one pushed entry.
struct PushAnswer {
  enum class Kind { kRecorded, kReturned, kNotYet };
  Kind kind = Kind::kNotYet;
  uint64_t seq = 0;  // recorded: its place
  std::string reason;
  std::string message;
};

// One row of the server's journal.
struct PulledRow {
  uint64_t seq = 0;
  std::string bytes;
  int64_t received_at_us = 0;  // by the server's clock; 0: not said
};

// Whether an entry was returned, for this reason, because another one of its device has its running
// number or stands before it: as where two machines write under one token.
inline bool IsOfNumbers(absl::string_view reason) {
  return reason == "ID_REUSED" || reason == "CHAIN_BROKEN";
}

struct PulledCounts {
  int64_t fresh = 0;   // not known here before
  int64_t mended = 0;  // were damaged here
  int64_t returned =
      0;  // ours, returned because another entry has taken their id or running number
};

// The store's side of a sync. Each call is one transaction, so that a kill between any two of them
// leaves a store from which the next sync goes on.
class SyncStore {
 public:
  explicit SyncStore(Store& store) : store_(store) {}

  // The next entries to push, in the order of their running numbers: after `after_device_seq`, at
  // most so many and so large together, but one at least. Damaged ones are left out, counted in
  // `damaged`.
  absl::StatusOr<std::vector<StoredEntry>> OutboxPage(uint64_t after_device_seq, size_t max_entries,
                                                      size_t max_bytes, int64_t* damaged);

  // Takes the answers to a page in. An answer for an entry that has left the outbox meanwhile
  // changes nothing.
  absl::Status TakeAnswers(absl::Span<const StoredEntry> page,
                           absl::Span<const PushAnswer> answers);

  // Takes a page of the journal in, byte for byte, and moves the place pulled up to. Own entries
  // are known by id and bytes.
  //
  // After an error nothing is changed. FailedPrecondition: the journal is not in the order that was
  // seen before, as after a restore; see BeginRefetch. DataLoss: the server sent what is no entry,
  // or other bytes for one than before.
  // `seals` are those whose last place is among the rows.
  absl::StatusOr<PulledCounts> TakePage(absl::Span<const PulledRow> rows, uint64_t journal_size,
                                        absl::Span<const v1::Seal> seals = {});

  // FailedPrecondition if not every place up to the end of the journal is known: others must have
  // stood where known ones stand now. See BeginRefetch.
  absl::Status CheckNoneMissing(uint64_t journal_size);

  // The bytes known at a place of the journal; empty if none are, or they are damaged.
  absl::StatusOr<std::string> BytesAt(uint64_t seq);

  // Whether something of ours was returned because others stand under its id or running number, and
  // it is not that another device has handed it in: whoever takes entries over keeps their ids.
  absl::StatusOr<bool> NumbersAreTaken();

  // The highest running number of this device that the server acknowledged; 0 if none.
  absl::StatusOr<uint64_t> HighestRecordedOwn();

  // Forgets all places, so that the whole journal is fetched and matched again. Goes on over kills
  // until EndRefetch.
  absl::Status BeginRefetch();
  struct Lost {
    int64_t own = 0;     // put back into the outbox
    int64_t others = 0;  // kept; the devices that wrote them have to push them again
  };
  // The whole journal was pulled: what was acknowledged and is not in it.
  absl::StatusOr<Lost> EndRefetch();

 private:
  // Who wrote an entry, read also where the rest is of a newer format.
  struct Envelope {
    Uuid id;
    Uuid device_id;
    uint64_t device_seq = 0;
    std::string new_key;  // by which its device signs from here on; empty: it does not say
  };
  static absl::StatusOr<Envelope> ReadEnvelope(const PulledRow& row);

  // The entry that stands for a row here already, if one does.
  absl::StatusOr<std::optional<StoredEntry>> FindKnown(const PulledRow& row, const Uuid& id);
  absl::Status TakeRow(const PulledRow& row, const Envelope& envelope, PulledCounts& counts);
  absl::Status Insert(const PulledRow& row, const Uuid& id, uint64_t own_device_seq,
                      PulledCounts& counts);
  // An entry of ours whose id or number the journal has given to another.
  absl::Status GiveBack(const StoredEntry& rival, PulledCounts& counts);
  // Frees a running number for the entry that the journal has under it.
  absl::Status MakeRoom(uint64_t device_seq, PulledCounts& counts);
  // Damaged entries of which the journal sent whole ones, under their true ids.
  absl::Status DropUnreadable();

  Store& store_;
  Sha256 sha_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_SYNC_STORE_H_

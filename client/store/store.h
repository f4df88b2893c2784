#ifndef RUNDLET_CLIENT_STORE_STORE_H_
#define RUNDLET_CLIENT_STORE_STORE_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "client/store/db.h"
#include "client/store/store_home.h"
#include "core/base/uuid.h"
#include "core/entry/writer.h"

namespace rundlet::client {

// Who writes here, and for which cellar.
struct Device {
  Uuid cellar_id;
  Uuid member_id;
  Uuid device_id;
  std::string cellar_name;
  std::string member_name;
  std::string device_name;
  std::string role;
  std::string server;  // host:port

  Writer writer() const {
    return {.cellar_id = cellar_id, .member_id = member_id, .device_id = device_id};
  }
};

enum class EntryState { kOutbox, kRecorded, kReturned };

struct StoredEntry {
  int64_t local_no = 0;
  Uuid id;
  std::string bytes;
  Hash hash = {};
  EntryState state = EntryState::kOutbox;
  uint64_t device_seq = 0;  // 0: another device's
  uint64_t seq = 0;         // place in the server's journal; 0: none
  std::string reason;       // of what was returned: "NOT_ALLOWED", or kDropped
  std::string message;
  int64_t received_at_us = 0;  // when the server took it in, by its clock; 0: not known
  bool whole = true;           // false: the bytes do not match the hash any more
};

// The reason of a returned entry that a person has dropped.
inline constexpr char kDropped[] = "DROPPED";

struct StoreCounts {
  int64_t outbox = 0;
  int64_t recorded = 0;
  int64_t returned = 0;
  int64_t unplaced = 0;  // recorded once, and lost by the server since
};

// The small facts of a store. 0 where one was never set.
enum class MetaKey {
  kLastSeq,      // pulled up to here
  kJournalSize,  // of the server, when last heard of
  kLastSyncUs,   // when a sync last came to its end
  kOwnClockUs,   // when the latest own entry in the journal was written, by this device's clock ...
  kServerClockUs,  // ... and when the server took it in, by the server's
  kSealedUpTo,     // places up to here are signed by the devices that wrote them; checked
  kRefetching,     // 1: the whole journal is being fetched and matched again
  kGeneration,     // goes up whenever the stored set loses an entry or changes one: what was folded
                   // before is stale then
};

// A device's book: everything that it knows of its cellar, in one SQLite file. What a method
// reports as done is on disk.
//
// Entries are given out exactly as they came in. Not safe to share between threads; other processes
// may use the same store at the same time. Errors are those of Db.
class Store {
 public:
  // Makes the store of a device that joins. `needed_seq`: the highest running number that the
  // server has of it. AlreadyExists if there is one.
  static absl::StatusOr<Store> Create(const StoreHome& home, const Device& device,
                                      uint64_t needed_seq);

  // NotFound when no cellar was joined here. FailedPrecondition for a store of a newer Rundlet.
  static absl::StatusOr<Store> Open(const StoreHome& home);

  const StoreHome& home() const { return home_; }
  const Device& device() const { return device_; }
  // Names, role and server may change; the ids stay.
  absl::Status UpdateDevice(const Device& device, uint64_t needed_seq);

  // The end of this device's chain. FailedPrecondition while the server is known to have entries of
  // this device that are not here: nothing may be written before they are fetched.
  absl::StatusOr<ChainHead> Head();

  // Puts entries that this device wrote into the outbox, all or none, and moves the head from
  // `before` to the last of them. Aborted if the head is no longer at `before`: read and write them
  // anew.
  absl::Status Append(absl::Span<const WrittenEntry> entries, const ChainHead& before);

  // Every entry after a local number, in order, with its hash checked against its bytes. An error
  // of `visit` ends it.
  absl::Status ForEach(int64_t after_local_no,
                       absl::FunctionRef<absl::Status(const StoredEntry&)> visit);

  // An entry by its id; one that counts rather than one that was returned. NotFound.
  absl::StatusOr<StoredEntry> Find(const Uuid& id);
  // In order of writing.
  absl::StatusOr<std::vector<StoredEntry>> Returned();

  // A person has dealt with a returned entry: it is kept, and waits for nobody any more.
  absl::Status Drop(int64_t local_no);

  absl::StatusOr<StoreCounts> Count();
  absl::StatusOr<int64_t> Get(MetaKey key);
  absl::Status Set(MetaKey key, int64_t value);

  Db& db() { return db_; }

 private:
  Store(StoreHome home, Db db) : home_(std::move(home)), db_(std::move(db)) {}
  absl::Status ReadDevice();
  // Brings the tables of an older Rundlet up to date.
  absl::Status Upgrade(int64_t version);

  StoreHome home_;
  Db db_;
  Device device_;
  Sha256 sha_;
};

// The columns of `entry` in the order in which ReadStoredEntry takes them.
inline constexpr char kEntryColumns[] =
    "local_no, entry_id, bytes, hash, state, device_seq, seq, reason, message, "
    "received_at_us";
StoredEntry ReadStoredEntry(const Query& query, Sha256& sha);

// Makes the tables of a new store.
absl::Status MakeTables(Db& db);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_STORE_H_

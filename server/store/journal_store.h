#ifndef RUNDLET_SERVER_STORE_JOURNAL_STORE_H_
#define RUNDLET_SERVER_STORE_JOURNAL_STORE_H_

#include <cstdint>
#include <optional>
#include <pqxx/pqxx>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// An entry as the journal keeps it.
struct JournalRecord {
  uint64_t seq = 0;
  int64_t received_at_us = 0;
  Hash leaf_hash = {};
  std::string bytes;
};

// An entry to be taken in. The views belong to the caller.
struct NewRecord {
  Uuid entry_id;
  Uuid device_id;
  uint64_t device_seq = 0;
  int64_t effective_at_us = 0;
  absl::string_view kind;
  Hash leaf_hash = {};
  absl::string_view bytes;
};

// What the journal's columns say of an entry, beside its bytes.
struct JournalColumns {
  uint64_t seq = 0;
  Uuid entry_id;
  Uuid device_id;
  uint64_t device_seq = 0;
  int64_t effective_at_us = 0;
  std::string kind;
};

// The journal of a transaction's cellar: all SQL about it is here. Errors are as Guard maps them.
class JournalStore {
 public:
  static void Prepare(Statements& statements);

  explicit JournalStore(CellarTransaction& transaction) : tx_(transaction) {}

  // The size of the journal. LockHead keeps every other writer of this cellar waiting until the
  // transaction ends. NotFound: there is no such cellar.
  absl::StatusOr<uint64_t> ReadHead();
  absl::StatusOr<uint64_t> LockHead();

  // Writes entries behind `size`, the head that was locked, and moves the head on.
  absl::Status Append(uint64_t size, absl::Span<const NewRecord> records, absl::Time received_at);

  // Entries in the order of the journal behind `after`, at most `limit` and at most `max_bytes` of
  // them together, but at least one if there is one.
  absl::StatusOr<std::vector<JournalRecord>> Read(uint64_t after, int limit, int64_t max_bytes);

  // The entries with these numbers, in the order of their numbers.
  absl::StatusOr<std::vector<JournalRecord>> ReadThese(absl::Span<const uint64_t> seqs);

  // The leaf hash of the entry at a place; none if the journal does not reach there.
  absl::StatusOr<std::optional<Hash>> LeafAt(uint64_t seq);

  // The columns of entries `after` to `upto`, in order.
  absl::StatusOr<std::vector<JournalColumns>> ReadColumns(uint64_t after, uint64_t upto);

  // The place of an entry; NotFound if the journal has it not.
  absl::StatusOr<uint64_t> SeqOf(const Uuid& entry_id);

  // The highest running number of a device; 0 if it has no entries.
  absl::StatusOr<uint64_t> LastDeviceSeq(const Uuid& device_id);

 private:
  absl::StatusOr<uint64_t> Head(const char* statement);

  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_JOURNAL_STORE_H_

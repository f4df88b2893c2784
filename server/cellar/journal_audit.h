#ifndef RUNDLET_SERVER_CELLAR_JOURNAL_AUDIT_H_
#define RUNDLET_SERVER_CELLAR_JOURNAL_AUDIT_H_

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "core/base/sha256.h"
#include "core/base/uuid.h"
#include "core/evidence/checkpoint.h"
#include "server/pg/connection_pool.h"

namespace rundlet::server {

struct JournalAuditReport {
  uint64_t entries = 0;
  int64_t devices = 0;
  uint64_t seals = 0;
  uint64_t tiles = 0;
  uint64_t from_before = 0;  // entries at the beginning from before there were signatures
  Hash root = {};
  std::vector<std::string> problems;  // each names the entry, the place or the row
  // What may be right, and is not to be seen in the journal: who was let in by nobody who stands in
  // it (core/evidence/people.h).
  std::vector<std::string> remarks;
};

// Whether a cellar's journal in the database is what its devices wrote and signed, and all that is
// kept beside it - columns, tree, seals, keys of devices - says the same. Reads everything and
// writes nothing; pushes go on meanwhile, and come after what is looked at.
//
// `signed_before`: a checkpoint that somebody kept, whose root the journal has to give still.
// `step` is called for each entry. Errors are those of storage; what is wrong is in the report.
absl::StatusOr<JournalAuditReport> AuditJournal(
    ConnectionPool& pool, const Uuid& cellar_id,
    const std::optional<evidence::Checkpoint>& signed_before, const std::function<void()>& step,
    absl::Time deadline);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_JOURNAL_AUDIT_H_

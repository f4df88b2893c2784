#ifndef RUNDLET_SERVER_AUDIT_RECORD_H_
#define RUNDLET_SERVER_AUDIT_RECORD_H_

#include <cstdint>
#include <string>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"

namespace rundlet::server {

// When all cellars were audited last, and how many things were wrong: what `rundletd audit` leaves
// behind, so that a server can show when it is time for the next one.
struct AuditRecord {
  absl::Time at;
  uint64_t problems = 0;
};

// Kept in the file `audit` of the data directory.
absl::Status WriteAuditRecord(const std::string& data_dir, const AuditRecord& record);
// NotFound: there was none. DataLoss: it is not what WriteAuditRecord wrote.
absl::StatusOr<AuditRecord> ReadAuditRecord(const std::string& data_dir);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_AUDIT_RECORD_H_

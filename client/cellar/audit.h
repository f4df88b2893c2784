#ifndef RUNDLET_CLIENT_CELLAR_AUDIT_H_
#define RUNDLET_CLIENT_CELLAR_AUDIT_H_

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// Whether the book on this device is what it should be, found out from its bytes alone, without the
// server: every entry has the bytes that its hash was made of; each device's entries follow one
// another, and are signed by its key; each device speaks for one member, by whom it was let in
// (core/evidence/people.h); the journal has no gaps; the tree over it has the root that the server
// signed; and what the commands show is what the entries give when they are folded anew.
struct AuditReport {
  int64_t entries = 0;         // read
  int64_t devices = 0;         // that wrote them
  int64_t devices_let_in = 0;  // by an invitation that stands in the journal
  uint64_t journal_size = 0;   // places of the server's journal that are here
  uint64_t from_before = 0;    // of them, at the beginning, from before there were signatures
  int64_t unplaced = 0;        // taken in by the server once, and not in its journal now
  std::string signed_root;     // of the tree that the server signed, hexadecimal
  uint64_t signed_size = 0;    // of them covered by the checkpoint; 0: there is none
  std::string digest;          // of the entries folded anew, hexadecimal; empty: they were not
  std::vector<std::string> problems;  // each names the entry or the place; empty: all is well
  // What may be right, and nobody but the server says: each names the device and the place.
  std::vector<std::string> remarks;
};

struct AuditOptions {
  // The places of the journal up to here are believed to be what an earlier audit found: only their
  // hashes are used, and nothing is folded. OutOfRange where the journal is not as long.
  uint64_t since = 0;
  std::function<void()> step = [] {};  // called for each entry that was read
};

// Errors are those of the store.
absl::StatusOr<AuditReport> AuditBook(Cellar& cellar, const AuditOptions& options);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_AUDIT_H_

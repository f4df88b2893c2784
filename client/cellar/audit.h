#ifndef RUNDLET_CLIENT_CELLAR_AUDIT_H_
#define RUNDLET_CLIENT_CELLAR_AUDIT_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// Whether the book on this device is what it should be, found out from its bytes alone, without the
// server: every entry has the bytes that its hash was made of; each device's entries follow one
// another; the journal has no gaps; the tree over it has the root that the server signed; and what
// the commands show is what the entries give when they are folded anew.
struct AuditReport {
  int64_t entries = 0;                // read
  int64_t devices = 0;                // that wrote them
  uint64_t journal_size = 0;          // places of the server's journal that are here
  int64_t unplaced = 0;               // taken in by the server once, and not in its journal now
  std::string signed_root;            // of the tree that the server signed, hexadecimal
  uint64_t signed_size = 0;           // of them covered by the checkpoint; 0: there is none
  std::string digest;                 // of the entries folded anew, hexadecimal
  std::vector<std::string> problems;  // each names the entry or the place; empty: all is well
};

// Errors are those of the store.
absl::StatusOr<AuditReport> AuditBook(Cellar& cellar);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CELLAR_AUDIT_H_

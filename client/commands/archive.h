#ifndef RUNDLET_CLIENT_COMMANDS_ARCHIVE_H_
#define RUNDLET_CLIENT_COMMANDS_ARCHIVE_H_

#include <cstdint>
#include <string>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/cellar/cellar.h"
#include "core/base/uuid.h"

namespace rundlet::client {

// The archive of a cellar: a text file of JSON lines that holds every entry of a device's book byte
// for byte, readable without Rundlet. docs/records.md has the format.
//
// The first line says what it is:
//
//   {"format":"rundlet cellar","version":1,"cellar_id":"...","cellar":"...","entries":N,
//    "digest":"..."}
//
// and every other one is an entry:
//
//   {"hash":"...","bytes":"...","entry":{...}}
//
// with the leaf hash (hexadecimal) of the exact bytes, the bytes (base64), and what they say, to be
// read by people and programs. Only the bytes count when it is read again.

struct ArchiveHead {
  Uuid cellar_id;
  std::string cellar_name;
  int64_t entries = 0;
  std::string digest;  // of the folded state, hexadecimal
};

// Writes the whole of a book that was just opened: what is recorded and what waits to be synced.
// `write` is called line by line. DataLoss where entries are damaged: nothing is written then.
// Aborted where the book lost entries meanwhile. Errors of `write` end it.
absl::Status WriteArchive(Cellar& cellar, absl::FunctionRef<absl::Status(absl::string_view)> write);

// Reads an archive, line by line, in constant memory but for the ids, and gives each entry's bytes
// out once it was checked. InvalidArgument, with the number of the line: what is no such line, an
// entry whose bytes do not match their hash or that is none, is another cellar's, or there twice; a
// file that is cut short. Errors of `take` end it.
absl::StatusOr<ArchiveHead> ReadArchive(const std::string& path,
                                        absl::FunctionRef<absl::Status(const std::string&)> take);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_ARCHIVE_H_

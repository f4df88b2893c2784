#ifndef RUNDLET_CLIENT_COMMANDS_HANDOVER_FILE_H_
#define RUNDLET_CLIENT_COMMANDS_HANDOVER_FILE_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// What a device could not hand in itself - it was revoked, or goes out of use - for another device
// of its cellar to take over. A text file of JSON lines: the first says what it is,
//
//   {"format":"rundlet handover","version":1,"cellar_id":"...","cellar":"...","device":"...",
//    "member":"...","entries":N}
//
// and every other one is an entry,
//
//   {"hash":"...","bytes":"...","state":"outbox","summary":"...","entry":{...}}
//
// with its exact bytes (base64), their leaf hash (hexadecimal), whether it waited or was returned,
// and what it says, for people. Only the bytes count when it is read again.

struct Handover {
  struct Item {
    std::string bytes;
    v1::Entry entry;
    std::string state;    // "outbox" or "returned"
    std::string summary;  // for people; not read from a file, which may say anything
  };
  Uuid cellar_id;
  std::string cellar_name;
  std::string device_name;
  std::string member_name;
  std::vector<Item> items;  // in the order of writing
};

// What a book holds for that: entries in the outbox, and returned ones that nobody has dealt with.
absl::StatusOr<Handover> CollectHandover(Cellar& cellar);

// Writes it to a new file of its owner's alone. AlreadyExists if there is one.
absl::Status WriteHandover(const Handover& handover, const std::string& path);

// InvalidArgument, with the number of the line: what is no such line, or is damaged, cut short, or
// of another cellar than the first line says, or speaks of a device's key.
absl::StatusOr<Handover> ReadHandover(const std::string& path);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_HANDOVER_FILE_H_

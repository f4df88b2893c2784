#ifndef RUNDLET_CLIENT_CLI_ENTRY_NAMES_H_
#define RUNDLET_CLIENT_CLI_ENTRY_NAMES_H_

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/cellar/cellar.h"

namespace rundlet::client {

// The entry that a person means: its whole id, or the end of it, from four characters on (the
// beginning is the time, which entries written together share). What was returned is found too.
//
// InvalidArgument for text that is no such end; NotFound; FailedPrecondition where several end so:
// the text lists them.
absl::StatusOr<StoredEntry> FindEntry(Cellar& cellar, absl::string_view word);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_ENTRY_NAMES_H_

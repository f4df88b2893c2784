#ifndef RUNDLET_SERVER_SERVICE_PAGE_TOKEN_H_
#define RUNDLET_SERVER_SERVICE_PAGE_TOKEN_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/uuid.h"

namespace rundlet::server {

// Where a list goes on: behind the entry that its last page ended with. It names the entry and not
// its place, so that what is filed before it meanwhile does not shift the next page. `list` keeps
// the tokens of different lists apart.
std::string FormatPageToken(char list, const Uuid& last_entry_id);

// BAD_PAGE_TOKEN for what FormatPageToken did not write for this list.
absl::StatusOr<Uuid> ParsePageToken(char list, absl::string_view token);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_SERVICE_PAGE_TOKEN_H_

#include "server/service/page_token.h"

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "server/errors.h"

namespace rundlet::server {

std::string FormatPageToken(char list, const Uuid& last_entry_id) {
  return absl::WebSafeBase64Escape(
      absl::StrCat(absl::string_view(&list, 1), last_entry_id.bytes()));
}

absl::StatusOr<Uuid> ParsePageToken(char list, absl::string_view token) {
  std::string bytes;
  if (!absl::WebSafeBase64Unescape(token, &bytes) || bytes.size() != 1 + Uuid::kSize ||
      bytes[0] != list) {
    return MakeError(Error::kBadPageToken);
  }
  return Uuid::FromBytes(absl::string_view(bytes).substr(1));
}

}  // namespace rundlet::server

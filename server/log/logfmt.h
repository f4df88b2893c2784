#ifndef RUNDLET_SERVER_LOG_LOGFMT_H_
#define RUNDLET_SERVER_LOG_LOGFMT_H_

#include <string>

#include "absl/strings/string_view.h"

namespace rundlet::server {

// Appends `value` to `line` in logfmt: bare where it is one plain word, otherwise in double quotes
// with \" \\ \n \r \t, and \xNN for other control characters and for bytes that are not UTF-8. The
// result never holds a line break or a terminal escape, whatever the value holds.
void AppendLogfmtValue(absl::string_view value, std::string& line);

// Appends `key` with every character outside [A-Za-z0-9_.] replaced by '_'.
void AppendLogfmtKey(absl::string_view key, std::string& line);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LOG_LOGFMT_H_

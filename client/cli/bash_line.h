#ifndef RUNDLET_CLIENT_CLI_BASH_LINE_H_
#define RUNDLET_CLIENT_CLI_BASH_LINE_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::client {

// A command line of bash up to the cursor, read as far as completion needs it: words, quotes,
// backslashes. Nothing is expanded.
struct BashLine {
  std::vector<std::string> words;  // without quotes; the last is begun, and empty after a space
  // What readline will leave standing of the last word when it puts a candidate in: what comes
  // before the quote that is open, else up to the last of the characters at which it breaks words.
  std::string kept;
  char quote = '\0';  // the quote that is open, if one is

  // What has to be handed to readline so that the last word becomes `value`.
  std::string Replacement(absl::string_view value) const;
};

BashLine ReadBashLine(absl::string_view line);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_BASH_LINE_H_

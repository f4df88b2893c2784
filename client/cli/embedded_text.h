#ifndef RUNDLET_CLIENT_CLI_EMBEDDED_TEXT_H_
#define RUNDLET_CLIENT_CLI_EMBEDDED_TEXT_H_

#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::client {

// A file of this folder's neighbours, put into the program when it is built.
struct EmbeddedText {
  absl::string_view name;
  absl::string_view text;
};

// client/help: the topics of `rundlet help`, by name ("times"); the first line says in a few words
// what it is about.
absl::Span<const EmbeddedText> HelpTopics();

// client/completion: the scripts for the shells, "rundlet.bash".
absl::Span<const EmbeddedText> CompletionScripts();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_EMBEDDED_TEXT_H_

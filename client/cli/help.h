#ifndef RUNDLET_CLIENT_CLI_HELP_H_
#define RUNDLET_CLIENT_CLI_HELP_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "client/cli/embedded_text.h"

namespace rundlet::client {

// What `rundlet --help` prints, in lines of at most `width` characters; 0: as long as they are.
std::string Overview(size_t width);

// All commands under their headings, each with a few words about it.
std::string CommandList();

// What `rundlet help TOPIC` prints; nullptr where there is no such topic.
const EmbeddedText* FindTopic(absl::string_view name);
std::string PrintTopic(const EmbeddedText& topic, size_t width);
absl::string_view TitleOf(const EmbeddedText& topic);
absl::string_view BodyOf(const EmbeddedText& topic);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_HELP_H_

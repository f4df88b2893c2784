#ifndef RUNDLET_CLIENT_CLI_STANDPOINT_WORDS_H_
#define RUNDLET_CLIENT_CLI_STANDPOINT_WORDS_H_

#include <CLI/App.hpp>
#include <functional>
#include <string>

#include "client/cellar/standpoint.h"
#include "client/cli/session.h"

namespace rundlet::client {

// --as-of and --known-at, of every command that shows the book.
struct StandpointWords {
  std::string as_of, known_at;

  // `shown`: whether --help tells of them.
  void Declare(CLI::App& app, bool shown = true);
  bool said() const { return !as_of.empty() || !known_at.empty(); }
};

// Opens the cellar as the words say and calls `show` with it. While it runs, the session's clock
// stands at the moment that is looked from, so that what depends on the day is that of then.
//
// `head` gets one sentence that says what is shown, before anything else; nothing where the book is
// shown as it is now.
absl::Status ShowFrom(const StandpointWords& words, Session& session,
                      const std::function<void(const std::string& sentence)>& head,
                      const std::function<absl::Status(Cellar&, Session&)>& show);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_STANDPOINT_WORDS_H_

#ifndef RUNDLET_CLIENT_COMMANDS_BOOK_NAMES_H_
#define RUNDLET_CLIENT_COMMANDS_BOOK_NAMES_H_

#include <memory>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "client/base/environment.h"
#include "client/cellar/cellar.h"
#include "client/cli/complete.h"

namespace rundlet::client {

// What this device's book knows by name, for the completion of shells. The book is opened when it
// is first asked for; where there is none, or it cannot be read, there are no names, and nothing is
// said: nobody wants an error while typing.
class BookNames {
 public:
  explicit BookNames(const Environment& env) : env_(env) {}

  // See Complete() for the kinds; empty for one that is none.
  std::vector<Candidate> Of(absl::string_view kind, const std::vector<std::string>& before);

 private:
  Cellar* Book();
  std::vector<Candidate> Things(v1::Thing::KindCase kind, bool occasions);
  std::vector<Candidate> Plans();
  std::vector<Candidate> Steps(const std::vector<std::string>& before);
  std::vector<Candidate> Rules();
  std::vector<Candidate> LatestEntries();

  const Environment& env_;
  bool looked_ = false;
  std::unique_ptr<Cellar> cellar_;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_BOOK_NAMES_H_

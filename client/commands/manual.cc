// rundlet manual: the pages of the manual, in the language that man reads.
#include <fstream>

#include "absl/strings/str_cat.h"
#include "client/cli/describe.h"
#include "client/cli/near.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

constexpr char kVersion[] = "rundlet " RUNDLET_VERSION;

std::string Roff(const manual::Page& page) { return PrintRoff(page, kVersion, RUNDLET_DATE); }

// rundlet manual rack | man -l -
class ManualCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("page", page_,
                   "the first word of a command, or a topic; the program if left out")
        ->type_name("COMMAND");
    app.add_option("--to", folder_, "write all pages into this folder, which is there")
        ->type_name("DIRECTORY");
  }

  absl::Status Run(Session& session) override {
    const std::vector<manual::Page> pages = ManualPages();
    if (!folder_.empty()) return WriteAll(pages);
    std::vector<std::string> names;
    for (const manual::Page& page : pages) {
      if (page.name == (page_.empty() ? "rundlet" : "rundlet-" + page_)) {
        session.out() << Roff(page);
        return absl::OkStatus();
      }
      if (page.name != "rundlet") names.push_back(page.name.substr(8));
    }
    const std::string near = NearWords(names, page_);
    return Usage(absl::StrCat("the manual has no page '", page_, "'",
                              near.empty() ? ": rundlet --help lists commands and topics"
                                           : absl::StrCat(": did you mean ", near, "?")));
  }

 private:
  absl::Status WriteAll(const std::vector<manual::Page>& pages) const {
    for (const manual::Page& page : pages) {
      const std::string path = absl::StrCat(folder_, "/", page.name, ".", page.section);
      std::ofstream file(path, std::ios::binary);
      file << Roff(page);
      file.close();
      if (!file.good())
        return absl::UnavailableError(absl::StrCat("'", path, "' could not be written"));
    }
    return absl::OkStatus();
  }

  std::string page_, folder_;
};

}  // namespace

std::unique_ptr<Command> MakeManual() { return std::make_unique<ManualCommand>(); }

}  // namespace rundlet::client

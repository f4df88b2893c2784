// rundlet export: the whole cellar as a file that outlives the program.
#include <optional>

#include "absl/strings/str_cat.h"
#include "client/base/new_file.h"
#include "client/cli/progress.h"
#include "client/commands/archive.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

class Export : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", path_, "the file to write, or - for the standard output")
        ->type_name("FILE")
        ->required();
  }

  absl::Status Run(Session& session) override {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    Progress progress(session.env, static_cast<int64_t>(cellar->fold->sequence().rows()), "wrote",
                      "entries");
    if (path_ == "-") {
      return WriteArchive(*cellar, [&](absl::string_view line) {
        progress.Step();
        session.out().write(line.data(), static_cast<std::streamsize>(line.size()));
        return session.out().good() ? absl::OkStatus()
                                    : absl::UnavailableError("the export could not be written out");
      });
    }
    auto file = NewFile::Create(path_);
    if (!file.ok()) return file.status();
    const absl::Status written = WriteArchive(*cellar, [&](absl::string_view line) {
      progress.Step();
      return file->Write(line);
    });
    if (!written.ok()) return written;
    if (absl::Status status = file->Finish(); !status.ok()) return status;
    session.out() << "written to " << path_ << ": " << cellar->fold->sequence().rows()
                  << " entries\nread it again with: rundlet import cellar " << path_
                  << " --into DIRECTORY\n";
    return absl::OkStatus();
  }

 private:
  std::string path_;
};

}  // namespace

std::unique_ptr<Command> MakeExport() { return std::make_unique<Export>(); }

}  // namespace rundlet::client

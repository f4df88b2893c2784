// rundlet import cellar: an archive becomes a book of its own, to be read without a server.
#include <stdlib.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <utility>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/planner.h"
#include "client/cli/progress.h"
#include "client/commands/archive.h"
#include "client/commands/commands.h"
#include "client/store/sync_store.h"

namespace rundlet::client {
namespace {

constexpr size_t kRowsInOnePage = 1000;

// A directory beside the one that a book will be in, gone again unless it was put in its place.
class Workshop {
 public:
  static absl::StatusOr<Workshop> Make(const std::string& target) {
    std::string path = absl::StrCat(target, ".importing-XXXXXX");
    if (mkdtemp(path.data()) == nullptr)
      return ErrnoStatus("make a directory beside", target, errno);
    return Workshop(target, std::move(path));
  }
  ~Workshop() {
    std::error_code ignored;
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
  }
  Workshop(Workshop&& other) noexcept
      : target_(std::move(other.target_)), path_(std::exchange(other.path_, "")) {}
  Workshop& operator=(Workshop&&) = delete;

  const std::string& path() const { return path_; }
  // Fails where there is something at the target, but for an empty directory.
  absl::Status PutInPlace() {
    if (rename(path_.c_str(), target_.c_str()) != 0)
      return ErrnoStatus("put the book into", target_, errno);
    path_.clear();
    return SyncDir(std::filesystem::absolute(target_).parent_path().string());
  }

 private:
  Workshop(std::string target, std::string path)
      : target_(std::move(target)), path_(std::move(path)) {}

  std::string target_, path_;
};

// Gives entries to a store, as a sync would.
class Filler {
 public:
  Filler(Store& store, int64_t entries) : store_(store), entries_(static_cast<uint64_t>(entries)) {}

  absl::Status Take(const std::string& bytes) {
    page_.push_back({.seq = ++seq_, .bytes = bytes});
    return page_.size() < kRowsInOnePage ? absl::OkStatus() : Flush();
  }
  absl::Status Flush() {
    const auto counts = store_.TakePage(page_, entries_);
    page_.clear();
    return counts.status();
  }

 private:
  SyncStore store_;
  const uint64_t entries_;
  uint64_t seq_ = 0;
  std::vector<PulledRow> page_;
};

class ImportCellar : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_, "an archive that rundlet export wrote")
        ->type_name("FILE")
        ->required();
    app.add_option("--into", into_, "a new directory for the book")
        ->type_name("DIRECTORY")
        ->required();
  }

  absl::Status Run(Session& session) override {
    if (LookForFile(StoreHome(into_).database()).ok())
      return absl::AlreadyExistsError(absl::StrCat("there is a book in ", into_, " already"));
    // All of it is checked before anything is made.
    const auto head = ReadArchive(file_, [](const std::string&) { return absl::OkStatus(); });
    if (!head.ok()) return head.status();
    while (into_.size() > 1 && into_.back() == '/') into_.pop_back();
    auto workshop = Workshop::Make(into_);
    if (!workshop.ok()) return workshop.status();
    if (absl::Status status = Fill(*head, workshop->path(), session); !status.ok()) return status;
    if (absl::Status status = workshop->PutInPlace(); !status.ok()) return status;
    session.out() << head->entries << " entries of " << head->cellar_name << " are in " << into_
                  << "; the digest is that of the archive\n"
                  << "look at it with: RUNDLET_HOME=" << into_ << " rundlet board\n";
    return absl::OkStatus();
  }

 private:
  absl::Status Fill(const ArchiveHead& head, const std::string& dir, Session& session) const {
    // A device that no server knows, of a guest: it is there to be read.
    const Device device{.cellar_id = head.cellar_id,
                        .member_id = session.env.NewId(),
                        .device_id = session.env.NewId(),
                        .cellar_name = head.cellar_name,
                        .member_name = "reader of an archive",
                        .device_name = "archive",
                        .role = "guest",
                        .server = ""};
    {
      auto store = Store::Create(StoreHome(dir), device, 0);
      if (!store.ok()) return store.status();
      Filler filler(*store, head.entries);
      Progress progress(session.env, head.entries, "took", "entries");
      const auto read = ReadArchive(file_, [&](const std::string& bytes) {
        progress.Step();
        return filler.Take(bytes);
      });
      if (!read.ok()) return read.status();
      if (absl::Status status = filler.Flush(); !status.ok()) return status;
    }
    const auto cellar = OpenCellar(StoreHome(dir));
    if (!cellar.ok()) return cellar.status();
    const std::string digest = absl::BytesToHexString(HashBytes(cellar->fold->StateDigest()));
    if (digest == head.digest) return absl::OkStatus();
    return absl::DataLossError(absl::StrCat(
        "the entries are whole, but this build makes another cellar of them than the one that "
        "wrote the archive (digest ",
        digest, ", not ", head.digest, "): use the same version of Rundlet. Nothing was taken"));
  }

  std::string file_, into_;
};

}  // namespace

std::unique_ptr<Command> MakeImportCellar() { return std::make_unique<ImportCellar>(); }

}  // namespace rundlet::client

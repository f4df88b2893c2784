#include <csignal>
#include <filesystem>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "tests/load/crowd.h"
#include "tests/load/scenarios.h"

namespace rundlet::load {
namespace {

constexpr double kMegabyte = 1'000'000;
constexpr char kCellar[] = "Thistledown archive";

// One installation of the real client.
class Home {
 public:
  Home(const Options& options, const std::string& name)
      : program_(options.programs + "/rundlet"), folder_(absl::StrCat(options.folder, "/", name)) {}

  // Fails if the command does not end well; returns what it printed.
  absl::StatusOr<std::string> Do(std::vector<std::string> words) const {
    words.insert(words.begin(), program_);
    const testing::Finished done = testing::RunProgram(words, Settings());
    if (done.exit_code != 0)
      return absl::InternalError(absl::StrCat(words[1], ": ", done.out, done.err));
    return done.out;
  }
  testing::Background Begin(std::vector<std::string> words) const {
    words.insert(words.begin(), program_);
    return testing::Background(words, Settings(), folder_ + ".log");
  }

 private:
  testing::Environment Settings() const {
    return {{"RUNDLET_HOME", folder_}, {"RUNDLET_AUTOSYNC", "off"}};
  }

  std::string program_;
  std::string folder_;
};

// Seconds that `action` takes.
template <typename Action>
absl::StatusOr<double> Timed(Action&& action) {
  const absl::Time begun = absl::Now();
  if (absl::Status status = action(); !status.ok()) return status;
  return absl::ToDoubleSeconds(absl::Now() - begun);
}

absl::Status RunGit(std::vector<std::string> words) {
  words.insert(words.begin(), {"/usr/bin/env", "git"});
  const testing::Finished done = testing::RunProgram(words);
  return done.exit_code == 0 ? absl::OkStatus()
                             : absl::InternalError(absl::StrCat("git: ", done.out, done.err));
}

// A repository in which each entry is a commit that changes one file to its bytes: a history that
// is checked link by link, as ours is.
absl::Status MakeRepository(const std::string& path, const std::vector<std::string>& entries) {
  const std::string stream = path + ".fast-import";
  {
    std::ofstream out(stream, std::ios::binary);
    for (size_t i = 0; i < entries.size(); ++i) {
      out << "commit refs/heads/main\ncommitter b <b@example.invalid> " << 1'700'000'000 + i
          << " +0000\ndata 5\nentry\nM 100644 inline entry\ndata " << entries[i].size() << "\n"
          << entries[i] << "\n";
    }
  }
  if (absl::Status status = RunGit({"init", "-q", "--bare", "-b", "main", path}); !status.ok())
    return status;
  // git takes its work from a file by a shell's redirection alone.
  const testing::Finished done = testing::RunProgram(
      {"/bin/sh", "-c", absl::StrCat("git -C '", path, "' fast-import --quiet <'", stream, "'")});
  if (done.exit_code != 0) return absl::InternalError("git fast-import: " + done.err);
  std::filesystem::remove(stream);
  return RunGit({"-C", path, "gc", "-q"});  // as a server of repositories keeps them
}

// The journal of the cellar, written by one device in full pushes.
absl::StatusOr<std::vector<std::string>> FillCellar(LoadWorld& world, const Uuid& cellar_id,
                                                    int count) {
  absl::StatusOr<LoadDevice> writer = world.NewDevice(cellar_id, "archivist");
  if (!writer.ok()) return writer.status();
  std::vector<std::string> entries;
  CallTimes not_counted;
  while (static_cast<int>(entries.size()) < count) {
    const std::vector<std::string> page = writer->Write(1000);
    if (absl::Status status = writer->Push(page, not_counted); !status.ok()) return status;
    entries.insert(entries.end(), page.begin(), page.end());
  }
  return entries;
}

// What rundletd has in memory more once it has loaded the cellar than before.
absl::Status MeasureMemory(LoadWorld& world, const Uuid& cellar_id, double journal_bytes,
                           Report& report) {
  auto reader = world.NewDevice(cellar_id, "reader");
  if (!reader.ok()) return reader.status();
  if (absl::Status status = world.Restart(); !status.ok()) return status;
  CallTimes times;
  const auto before = world.Memory();
  if (absl::Status status = reader->Board(times); !status.ok()) return status;
  const auto after = world.Memory();
  if (!before.ok() || !after.ok()) return before.ok() ? after.status() : before.status();
  report.Figure("first board of a server that has just started", times.board.Quantile(1), "ms");
  report.Figure("rundletd: memory for the cellar", (*after - *before) / kMegabyte, "MB");
  report.Figure("rundletd: memory for the cellar over its journal",
                (*after - *before) / journal_bytes, "times");
  return absl::OkStatus();
}

// A sync that is killed half way, and the one after it.
absl::Status MeasureResume(LoadWorld& world, const Options& options, double whole_s,
                           const Home& whole, Report& report) {
  const auto invitation = world.Invite(kCellar, "half");
  if (!invitation.ok()) return invitation.status();
  const Home home(options, "half");
  {
    testing::Background sync = home.Begin({"join", *invitation});
    absl::SleepFor(absl::Seconds(whole_s / 2));  // where it is cut off, not a condition
    sync.Stop(SIGKILL);
  }
  const auto rest_s = Timed([&] { return home.Do({"sync"}).status(); });
  if (!rest_s.ok()) return rest_s.status();
  // The other takes over what this one wrote when it joined; then both have the same.
  const auto taken = whole.Do({"sync"});
  const auto theirs = whole.Do({"digest"});
  const auto ours = home.Do({"digest"});
  if (!taken.ok() || !theirs.ok() || !ours.ok())
    return absl::InternalError("a book cannot be read after the sync that was cut off");
  if (*ours != *theirs) return absl::InternalError("the book of the sync that was cut off differs");
  report.Figure("a sync after one that was killed half way, over a whole one", *rest_s / whole_s,
                "times");
  return absl::OkStatus();
}

}  // namespace

absl::Status FirstSync(LoadWorld& world, const Options& options, Report& report) {
  report.Heading(absl::StrCat("First sync of ", options.first_sync_entries, " entries"));
  const auto cellar = world.NewCellar(kCellar);
  if (!cellar.ok()) return cellar.status();
  const auto entries = FillCellar(world, *cellar, options.first_sync_entries);
  if (!entries.ok()) return entries.status();
  double bytes = 0;
  for (const std::string& entry : *entries) bytes += static_cast<double>(entry.size());
  report.Figure("bytes of the journal", bytes / kMegabyte, "MB");

  const std::string repository = options.folder + "/entries.git";
  if (absl::Status status = MakeRepository(repository, *entries); !status.ok()) return status;
  const auto clone_s = Timed([&] {
    return RunGit({"clone", "-q", "--bare", "file://" + repository, options.folder + "/clone.git"});
  });
  if (!clone_s.ok()) return clone_s.status();

  const auto invitation = world.Invite(kCellar, "whole");
  if (!invitation.ok()) return invitation.status();
  const Home home(options, "whole");
  const auto sync_s = Timed([&] { return home.Do({"join", *invitation}).status(); });
  if (!sync_s.ok()) return sync_s.status();
  report.Figure("rundlet join, which syncs", *sync_s, "s");
  report.Figure("git clone", *clone_s, "s");
  report.Figure("rundlet join over git clone", *sync_s / *clone_s, "times");
  if (absl::Status status = MeasureResume(world, options, *sync_s, home, report); !status.ok())
    return status;
  return MeasureMemory(world, *cellar, bytes, report);
}

}  // namespace rundlet::load

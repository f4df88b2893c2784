#include "client/sync/sync_run.h"

#include <memory>
#include <optional>

#include "absl/algorithm/container.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_split.h"
#include "absl/time/clock.h"
#include "client/base/exit_code.h"
#include "client/base/file.h"
#include "client/cellar/cellar.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/cli/progress.h"
#include "client/store/file_lock.h"
#include "client/sync/connection.h"
#include "client/sync/enrol.h"
#include "client/sync/grpc_remote.h"
#include "client/sync/join.h"
#include "client/sync/syncer.h"
#include "core/care/gear.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kSyncPatience = absl::Seconds(30);

int ExitCodeOf(const absl::Status& status) {
  switch (status.code()) {
    case absl::StatusCode::kUnauthenticated:
    case absl::StatusCode::kPermissionDenied:
      return kExitNotAllowed;
    case absl::StatusCode::kUnavailable:
    case absl::StatusCode::kDeadlineExceeded:
    case absl::StatusCode::kResourceExhausted:
    case absl::StatusCode::kAborted:
      return kExitNotSynced;
    case absl::StatusCode::kInvalidArgument:
      return kExitUsage;
    default:
      return kExitError;
  }
}

// Shows the pages of a sync as they pass, first those that are sent, then those that come.
class Watcher {
 public:
  explicit Watcher(const Environment& env) : env_(env) {}

  void See(absl::string_view what, int64_t done, int64_t total) {
    if (!progress_.has_value() || what_ != what) {
      what_ = std::string(what);
      progress_.emplace(env_, total, what_, "entries");
      progress_->BeginAt(done);
    }
    progress_->At(done);
  }

 private:
  const Environment& env_;
  std::string what_;
  std::optional<Progress> progress_;
};

class SyncRun {
 public:
  SyncRun(const SyncOptions& options, const Environment& env)
      : options_(options),
        env_(env),
        home_(options.home),
        deadline_(absl::Now() + options.budget) {}

  absl::Status Run();
  int Report(const absl::Status& status);

 private:
  bool joins() const { return !options_.invitation.empty(); }
  absl::StatusOr<Store> OpenOrJoin(std::unique_ptr<GrpcRemote>& remote);
  absl::Status LookAround();  // what waits for a person
  void KeepOrFetchAlarms();

  const SyncOptions& options_;
  const Environment& env_;
  const StoreHome home_;
  const absl::Time deadline_;
  bool skipped_ = false;  // quiet, and another sync was running
  SyncResult result_;
  Device joined_;
  int64_t held_ = 0;
  int64_t open_returns_ = 0;
  std::vector<std::string> clashes_;  // two who want one thing at one time
};

absl::StatusOr<Store> SyncRun::OpenOrJoin(std::unique_ptr<GrpcRemote>& remote) {
  if (joins()) {
    auto invitation = ParseInvitation(options_.invitation);
    if (!invitation.ok()) return invitation.status();
    const auto joined = JoinCellar(
        home_, {.invitation = *std::move(invitation), .device_name = options_.device_name}, env_,
        deadline_);
    if (!joined.ok()) return joined.status();
  }
  auto store = Store::Open(home_);
  if (!store.ok()) return store.status();
  const auto connection = ConnectionOf(*store);
  if (!connection.ok()) return connection.status();
  auto connected = GrpcRemote::Connect(*connection, deadline_);
  if (!connected.ok()) return connected.status();
  remote = *std::move(connected);
  return store;
}

absl::Status SyncRun::Run() {
  if (joins()) {
    if (absl::Status status = MakePrivateDirs(home_.dir()); !status.ok()) return status;
  } else if (const auto joined = Store::Open(home_); absl::IsNotFound(joined.status())) {
    return joined.status();
  }
  const auto lock =
      FileLock::Acquire(home_.sync_lock(), options_.quiet ? absl::ZeroDuration() : kSyncPatience,
                        "another sync of this book is running: try again when it is done");
  if (!lock.ok()) {
    skipped_ = options_.quiet && absl::IsUnavailable(lock.status());
    return skipped_ ? absl::OkStatus() : lock.status();
  }
  std::unique_ptr<GrpcRemote> remote;
  auto store = OpenOrJoin(remote);
  if (!store.ok()) return store.status();
  joined_ = store->device();
  Watcher watcher(env_);
  const auto watch = [&](absl::string_view what, int64_t done, int64_t total) {
    if (!options_.quiet && !options_.json) watcher.See(what, done, total);
  };
  Syncer syncer(*store, *remote, watch);
  const auto sync = [&](bool repair) {
    return syncer.Run(repair, absl::ToUnixMicros(env_.clock()), result_);
  };
  if (absl::Status status = sync(options_.repair); !status.ok()) return status;
  if (options_.quiet) return absl::OkStatus();
  const auto introduced = WriteFirstEntries(home_, env_);
  if (!introduced.ok()) return introduced.status();
  if (*introduced) {
    if (absl::Status status = sync(false); !status.ok()) return status;
  }
  return LookAround();
}

absl::Status SyncRun::LookAround() {
  auto cellar = OpenCellar(home_, Snapshot::Verify::kAll);
  if (!cellar.ok()) return cellar.status();
  const auto returns = OpenReturns(*cellar);
  if (!returns.ok()) return returns.status();
  held_ = static_cast<int64_t>(cellar->fold->state().held().size());
  open_returns_ = static_cast<int64_t>(returns->size());
  for (const std::string& damage : cellar->damage) result_.alarms.push_back(damage);
  const int64_t now_us = absl::ToUnixMicros(env_.clock());
  const Fold& fold = *cellar->fold;
  for (const care::Clash& clash : care::ClashesOf(fold, care::ClaimsAt(fold, now_us), now_us))
    clashes_.push_back(care::ClashText(fold, clash));
  return absl::OkStatus();
}

// What was found by syncs that ran by themselves is kept until one that somebody reads.
void SyncRun::KeepOrFetchAlarms() {
  const auto kept = ReadFile(home_.alarms());
  std::vector<std::string> all;
  if (kept.ok()) all = absl::StrSplit(*kept, '\n', absl::SkipEmpty());
  for (const std::string& alarm : result_.alarms) {
    if (!absl::c_linear_search(all, alarm)) all.push_back(alarm);
  }
  if (options_.quiet) {
    if (!result_.alarms.empty())
      WritePrivateFile(home_.alarms(), absl::StrJoin(all, "\n") + "\n").IgnoreError();
    return;
  }
  result_.alarms = std::move(all);
  RemoveFile(home_.alarms()).IgnoreError();  // they are printed next
}

int SyncRun::Report(const absl::Status& status) {
  if (skipped_) return kExitDone;
  KeepOrFetchAlarms();
  int exit_code = status.ok() ? static_cast<int>(kExitDone) : ExitCodeOf(status);
  if (status.ok() && held_ + open_returns_ + (options_.quiet ? result_.returned : 0) > 0)
    exit_code = kExitSyncedNotAll;
  // A mark for quiet syncs, which leave the network alone for a while. Without it nothing is lost.
  if (status.ok()) {
    RemoveFile(home_.sync_failed()).IgnoreError();
  } else if (FileExists(home_.database())) {
    WritePrivateFile(home_.sync_failed(), absl::StrCat(absl::ToUnixMicros(absl::Now())))
        .IgnoreError();
  }
  int64_t waiting = 0;
  if (auto store = Store::Open(home_); store.ok()) {
    if (const auto counts = store->Count(); counts.ok()) waiting = counts->outbox;
  }
  if (options_.json) {
    *env_.out << JsonObject()
                     .Bool("synced", status.ok())
                     .Number("sent", result_.sent)
                     .Number("received", result_.received)
                     .Number("returned", open_returns_)
                     .Number("held", held_)
                     .Number("mended", result_.mended)
                     .Number("waiting", waiting)
                     .Raw("alarms", JsonTexts(result_.alarms))
                     .Raw("clashes", JsonTexts(clashes_))
                     .Text("error", std::string(status.message()))
                     .Finish()
              << "\n";
    env_.out->flush();
    return exit_code;
  }
  for (const std::string& alarm : result_.alarms) *env_.err << "alarm: " << alarm << "\n";
  if (!status.ok()) {
    *env_.err << "rundlet: " << status.message() << "\n";
    if (exit_code == kExitNotSynced) {
      *env_.out << "not synced; "
                << (waiting == 0
                        ? std::string("nothing waits here")
                        : absl::StrCat(waiting, waiting == 1 ? " entry is" : " entries are",
                                       " saved here and ", waiting == 1 ? "waits" : "wait"))
                << "\n";
    }
  } else {
    if (joins()) {
      *env_.out << "joined " << joined_.cellar_name << " as " << joined_.member_name << " ("
                << joined_.role << "), on " << joined_.device_name << "\n";
    }
    for (const std::string& clash : clashes_) *env_.out << "both want it: " << clash << "\n";
    *env_.out << "synced: " << result_.sent << " sent, " << result_.received << " received";
    if (result_.went_on_after > 0)
      *env_.out << " (went on after place " << result_.went_on_after << ")";
    if (result_.mended > 0) *env_.out << ", " << result_.mended << " mended";
    if (waiting > 0) {
      *env_.out << ", " << waiting
                << (result_.not_yet > 0 ? " wait for a newer server" : " wait for the next sync");
    }
    if (held_ > 0) *env_.out << ", " << held_ << " held";
    if (open_returns_ > 0) *env_.out << ", " << open_returns_ << " returned";
    *env_.out << (held_ + open_returns_ > 0 ? ": rundlet held\n" : "\n");
  }
  env_.out->flush();
  return exit_code;
}

}  // namespace

int RunSync(const SyncOptions& options, const Environment& env) {
  SyncRun run(options, env);
  return run.Report(run.Run());
}

}  // namespace rundlet::client

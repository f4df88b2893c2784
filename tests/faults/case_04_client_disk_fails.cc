// Case 4: the client's disk fails: each write, flush and rename by EIO and ENOSPC, once or from
// then on, and short writes at a border in a file. Method: strace lets one after the other of the
// counted calls fail; a limit on the size of files makes real short writes. A run that says "saved"
// has saved; any other says loudly that it has not, or not for certain. Then the disk is well
// again.
#include <filesystem>

#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/system_calls.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(20);
constexpr char kDraw[] = "draw sample T1 10mL";

class Case04 {
 public:
  explicit Case04(Fleet& fleet) : fleet_(fleet) {}

  std::map<std::string, int> Calls(bool sync) {
    fleet_.MustSave(device_, kDraw);
    device_.RunUnder(Watching(trace_, device_.home()));
    if (sync) {
      EXPECT_EQ(device_.TrySync().exit_code, 0);
    } else {
      fleet_.MustSave(device_, kDraw);
    }
    device_.RunUnder({});
    return CountCalls(trace_);
  }

  void FailSave(std::vector<std::string> under) {
    device_.RunUnder(std::move(under));
    const Finished done = fleet_.Save(device_, kDraw);
    device_.RunUnder({});
    if (SavedIds(done.out).empty()) {
      EXPECT_NE(done.exit_code, 0) << "neither saved nor failed";
      loud_ += done.err.empty() ? 0 : 1;
    }
    BeWellAgain();
  }
  void FailSync(std::vector<std::string> under) {
    fleet_.MustSave(device_, kDraw);
    device_.RunUnder(std::move(under));
    const Finished done = device_.TrySync();
    device_.RunUnder({});
    EXPECT_TRUE(done.exit_code == 0 || !done.err.empty()) << done.exit_code << " and not a word";
    BeWellAgain();
    const Finished again = fleet_.Sync(device_);
    EXPECT_EQ(again.exit_code, 0) << again.err;
    EXPECT_EQ(CountIn(ReadBook(device_.home()), "outbox"), 0);
  }
  int64_t LogBytes() const {
    std::error_code none;  // a log that is not there is as one of no length
    const auto bytes = std::filesystem::file_size(device_.home() + "/cellar.db-wal", none);
    return none ? 0 : static_cast<int64_t>(bytes);
  }
  int64_t loud() const { return loud_; }

 private:
  void BeWellAgain() {
    fleet_.ExpectSavedIn(device_.home());
    fleet_.MustSave(device_, kDraw);
  }

  Fleet& fleet_;
  ClientProcess& device_ = fleet_.maud();
  const std::string trace_ = fleet_.folder() + "/calls";
  int64_t loud_ = 0;
};

TEST_F(FaultCase, Case04_ClientDiskFails) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Case04 play(fleet);
  for (const bool sync : {false, true}) {
    for (const auto& [call, count] : play.Calls(sync)) {
      for (const int at : Places(count, 2)) {
        for (const std::string error : {"EIO", "ENOSPC"}) {
          const bool and_after = random().Chance(500);
          SCOPED_TRACE(absl::StrCat(sync ? "sync: " : "save: ", call, " ", at, " ", error,
                                    and_after ? " and after" : ""));
          ++tally().runs;
          const auto under = FailingAt(fleet.maud().home(), call, at, error, and_after);
          sync ? play.FailSync(under) : play.FailSave(under);
        }
      }
    }
  }
  // The log grows by some pages with each entry: borders in the middle of them.
  for (int i = 0; i < Times(6, 200); ++i) {
    const int64_t border = play.LogBytes() + random().Between(1, 40'000);
    SCOPED_TRACE(absl::StrCat("no file beyond ", border, " bytes"));
    ++tally().runs;
    play.FailSave(WithFilesUpTo(border));
  }
  EXPECT_GE(play.loud(), Times(6, 20)) << "most of these failures are failures to save";
  Recovered(fleet.Settle(kBound), kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

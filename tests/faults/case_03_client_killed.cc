// Case 3: the client is killed at each call by which it changes its disk, as it saves an entry and
// as it syncs. Method: strace counts the calls of a clean run, and kills the next runs at one after
// the other. After each kill the book must open, hold everything that was said to be saved, and the
// next run must go through.
#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/system_calls.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(20);
constexpr char kDraw[] = "draw sample T1 10mL";

class Case03 {
 public:
  explicit Case03(Fleet& fleet) : fleet_(fleet) {}

  std::map<std::string, int> CallsOfSave() {
    device_.RunUnder(Watching(trace_));
    fleet_.MustSave(device_, kDraw);
    device_.RunUnder({});
    return CountCalls(trace_);
  }
  std::map<std::string, int> CallsOfSync() {
    fleet_.MustSave(device_, kDraw);
    device_.RunUnder(Watching(trace_));
    const Finished done = device_.TrySync();
    EXPECT_EQ(done.exit_code, 0) << done.err;
    device_.RunUnder({});
    return CountCalls(trace_);
  }
  void KillSave(const std::string& call, int at) {
    device_.RunUnder(KilledAt(call, at));
    ended_.push_back(fleet_.Save(device_, kDraw).exit_code);
    device_.RunUnder({});
    LookAt();
    fleet_.MustSave(device_, kDraw);
  }
  void KillSync(const std::string& call, int at) {
    fleet_.MustSave(device_, kDraw);
    device_.RunUnder(KilledAt(call, at));
    ended_.push_back(device_.TrySync().exit_code);
    device_.RunUnder({});
    LookAt();
    const Finished done = fleet_.Sync(device_);
    EXPECT_EQ(done.exit_code, 0) << done.out << done.err;
    EXPECT_EQ(CountIn(ReadBook(device_.home()), "outbox"), 0);
  }
  // How the killed runs ended: 137 for each that came to its call.
  const std::vector<int>& ended() const { return ended_; }

 private:
  void LookAt() {
    const Finished status = device_.Try("status");
    EXPECT_EQ(status.exit_code, 0) << status.err;
    fleet_.ExpectSavedIn(device_.home());
  }

  Fleet& fleet_;
  ClientProcess& device_ = fleet_.maud();
  const std::string trace_ = fleet_.folder() + "/calls";
  std::vector<int> ended_;
};

TEST_F(FaultCase, Case03_ClientKilledAtEachWrite) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Case03 play(fleet);
  const std::map<std::string, int> save = play.CallsOfSave();
  const std::map<std::string, int> sync = play.CallsOfSync();
  ASSERT_THAT(save, ::testing::AllOf(::testing::Contains(::testing::Key("pwrite64")),
                                     ::testing::Contains(::testing::Key("fdatasync"))));
  ASSERT_THAT(sync, ::testing::Contains(::testing::Key("rename")));
  for (const auto& [call, count] : save) {
    for (const int at : Places(count, 4)) {
      SCOPED_TRACE(absl::StrCat("saving, killed at ", call, " ", at));
      play.KillSave(call, at);
    }
  }
  for (const auto& [call, count] : sync) {
    for (const int at : Places(count, 4)) {
      SCOPED_TRACE(absl::StrCat("syncing, killed at ", call, " ", at));
      play.KillSync(call, at);
    }
  }
  tally().runs = std::count(play.ended().begin(), play.ended().end(), 128 + 9);
  // A run may make a few calls less than the counted one did: gRPC wakes its threads by writing,
  // too.
  EXPECT_GE(tally().runs, static_cast<int64_t>(play.ended().size() * 3 / 4));
  Recovered(fleet.Settle(kBound), kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

// Case 11: the disk is full, the server's or a client's. Method: the data lie on a small file
// system that is filled while devices push, or while entries are saved. Nothing may be acknowledged
// that is not committed, or said to be saved that is not; what can be read is still read; with room
// again all goes on.
#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/load.h"
#include "tests/faults/small_disk.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(90);

TEST_F(FaultCase, Case11_DiskFull) {
  std::string why_not;
  const TempDir folder;
  const auto disk = SmallDisk::Make(folder.path(), 400, why_not);
  if (disk == nullptr) {
    Remark("left out: no file system can be mounted here");
    GTEST_SKIP() << why_not;
  }
  ServerOptions options;
  options.data = disk->path() + "/data";
  Fleet fleet(options);
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Pusher reader(fleet.JoinHome("Hand of reading"), 7, fleet.promises());
  Load load(fleet, 4, TheFaultOptions().seed, 200);
  load.Start();
  for (int round = 0; round < Times(1, 10) && !HasFailure(); ++round) {
    ASSERT_TRUE(load.AwaitAnswers(8, kBound)) << load.last_error();
    disk->FillUpTo(2 << 20);
    ++tally().runs;
    // Full it is when no page is answered any more for a while.
    EXPECT_TRUE(Await([&] { return !load.AwaitAnswers(1, absl::Seconds(3)); }, kBound))
        << "the disk never became full";
    v1::PullResponse page;
    const grpc::Status read = reader.Pull(0, page);
    // PostgreSQL ends where there is no room for its log, and starts again and again.
    if (!read.ok()) Remark("reads wait while the disk is full, as PostgreSQL does not run");
    EXPECT_TRUE(read.ok() || read.error_code() == grpc::StatusCode::UNAVAILABLE ||
                read.error_code() == grpc::StatusCode::DEADLINE_EXCEEDED)
        << read.error_message();
    const absl::Time made_room = absl::Now();
    disk->Free();
    ASSERT_TRUE(load.AwaitAnswers(8, kBound)) << load.last_error();
    Recovered(absl::Now() - made_room, kBound);
  }
  EXPECT_TRUE(load.Stop(kBound)) << load.last_error();
  fleet.Settle(kBound);
  Audit(fleet);
}

// The client's: a case of its own for CTest, of the same number.
TEST_F(FaultCase, Case11_DiskOfClientFull) {
  std::string why_not;
  const TempDir folder;
  const auto disk = SmallDisk::Make(folder.path(), 20, why_not);
  if (disk == nullptr) {
    Remark("left out: no file system can be mounted here");
    GTEST_SKIP() << why_not;
  }
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  const std::string home = disk->path() + "/tobias";
  ClientProcess tobias(home);
  tobias.Do({"join", fleet.server().Invite(kCircle, "Tobias Wren"), "--device", "phone"});
  for (int round = 0; round < Times(3, 40) && !HasFailure(); ++round) {
    fleet.MustSave(tobias, "draw sample T1 10mL");
    disk->FillUpTo(random().Below(60'000));
    ++tally().runs;
    Finished last;
    EXPECT_TRUE(Await(
        [&] { return (last = fleet.Save(tobias, "draw sample T1 10mL")).exit_code != 0; }, kBound))
        << "the disk never became full";
    EXPECT_NE(last.err, "");
    EXPECT_TRUE(SavedIds(last.out).empty());
    fleet.Sync(tobias);  // may fail; must lose nothing
    fleet.ExpectSavedIn(home);
    disk->Free();
    fleet.MustSave(tobias, "draw sample T1 10mL");
    const Finished synced = fleet.Sync(tobias);
    EXPECT_TRUE(EndedWell(synced)) << synced.out << synced.err;
    EXPECT_EQ(CountIn(ReadBook(home), "outbox"), 0);
  }
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

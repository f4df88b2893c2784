// Case 15: yesterday's backup of the database is put back under live devices. Method: pg_basebackup
// of the running cluster; work goes on, and is acknowledged; then the backup stands in the
// cluster's place. The devices must notice, say so, and hand in again what the server lost.
#include <filesystem>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "tests/faults/case.h"
#include "tests/faults/load.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);

class Case15 {
 public:
  explicit Case15(Fleet& fleet) : fleet_(fleet) {}

  void TakeBackup() {
    std::filesystem::remove_all(backup_);
    const Finished done =
        RunProgram({"/usr/bin/env", "pg_basebackup", "-h", fleet_.server().data() + "/socket", "-U",
                    "rundlet", "-D", backup_, "--checkpoint=fast", "--no-sync"});
    ASSERT_EQ(done.exit_code, 0) << done.err;
  }
  // Puts the backup in the place of the cluster, with the cluster's owner.
  void PutBack() {
    EXPECT_EQ(fleet_.server().Stop(), 0);
    const std::string cluster = fleet_.server().data() + "/postgres";
    const Finished moved = RunProgram(
        {"/bin/sh", "-c",
         absl::StrCat("chown -R --reference='", cluster, "' '", backup_, "' && rm -rf '", cluster,
                      "' && mv '", backup_, "' '", cluster, "' && chmod 700 '", cluster, "'")});
    ASSERT_EQ(moved.exit_code, 0) << moved.err;
    fleet_.promises().ForgetPlaces();
    fleet_.ForgetCheckpoints();
  }

 private:
  Fleet& fleet_;
  const std::string backup_ = fleet_.folder() + "/backup";
};

TEST_F(FaultCase, Case15_BackupRestoredUnderLiveDevices) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& tobias = fleet.Join("Tobias Wren");
  ClientProcess& isolde = fleet.Join("Isolde Thornbury");
  fleet.Settle(kBound);
  Case15 play(fleet);
  for (int round = 0; round < Times(1, 10) && !HasFailure(); ++round) {
    ASSERT_NO_FATAL_FAILURE(play.TakeBackup());
    for (ClientProcess* device : {&fleet.maud(), &tobias, &isolde}) {
      for (int i = 0; i < 4; ++i) fleet.MustSave(*device, "draw sample T1 10mL");
      EXPECT_EQ(fleet.Sync(*device).exit_code, 0);
    }
    // One has work that was never handed in, too.
    fleet.MustSave(tobias, "draw sample T1 20mL");
    ASSERT_NO_FATAL_FAILURE(play.PutBack());
    ++tally().runs;
    const absl::Time back = absl::Now();
    fleet.Restart();
    const Finished noticed = isolde.Try("sync");
    EXPECT_TRUE(absl::StrContains(noticed.err, "alarm:")) << noticed.out << noticed.err;
    EXPECT_TRUE(absl::StrContains(noticed.err, "lost")) << noticed.err;
    fleet.Settle(kBound);
    Recovered(absl::Now() - back, 2 * kBound);
    Audit(fleet);
  }
}

}  // namespace
}  // namespace rundlet::testing

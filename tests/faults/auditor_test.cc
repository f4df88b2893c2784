// Goal: the auditor of the fault suite finds each thing that it looks for. Method: a sound fleet
// passes; then each invariant is broken by hand, and must be told by its name.
#include "tests/faults/auditor.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/faults/book.h"

namespace rundlet::testing {
namespace {

using ::testing::HasSubstr;

class AuditorTest : public ::testing::Test {
 protected:
  void SetUp() override {
    ASSERT_NO_FATAL_FAILURE(fleet_.Begin());
    fleet_.Join("Tobias Wren");
    fleet_.MustSave(fleet_.maud(), "rack T1 T2 --lees 1L");
    fleet_.Settle(absl::Seconds(20));
  }
  std::string Problems() { return absl::StrJoin(Auditor(fleet_).Run().problems, "\n"); }
  // As the database's superuser, whom nothing binds.
  void Tamper(const std::string& sql) {
    const Finished done = fleet_.server().Sql(sql);
    ASSERT_EQ(done.exit_code, 0) << done.err;
  }

  Fleet fleet_;
};

TEST_F(AuditorTest, ASoundFleetPassesAndEachBreachIsNamed) {
  const Verdict sound = Auditor(fleet_).Run();
  EXPECT_EQ(absl::StrJoin(sound.problems, "\n"), "");
  EXPECT_GE(sound.acknowledged, 5);

  Tamper("update rundlet.vessel set volume_ul = volume_ul + 1");
  EXPECT_THAT(Problems(), ::testing::AllOf(HasSubstr("I1: "), HasSubstr("I5: ")));
  Tamper("update rundlet.vessel set volume_ul = volume_ul - 1");
  EXPECT_EQ(Problems(), "");

  fleet_.promises().Acknowledged("01900000-0000-7000-8000-000000000001", 3);
  const Verdict lost = Auditor(fleet_).Run();
  EXPECT_EQ(lost.lost, 1);
  EXPECT_THAT(absl::StrJoin(lost.problems, "\n"), HasSubstr("I3: "));
}

TEST_F(AuditorTest, AnEntryThatWasSavedAndIsNowhereIsNamed) {
  fleet_.promises().Saved(fleet_.maud().home(), "01900000-0000-7000-8000-000000000002");
  EXPECT_THAT(Problems(), HasSubstr("I4: "));
}

TEST_F(AuditorTest, AnEntryThatIsToldTwoPlacesIsDoubled) {
  const auto acknowledged = fleet_.promises().acknowledged();
  fleet_.promises().Acknowledged(acknowledged.begin()->first, acknowledged.begin()->second + 1);
  EXPECT_GE(Auditor(fleet_).Run().doubled, 1);
}

TEST_F(AuditorTest, AGapAndACutEndAreNamed) {
  Tamper("delete from rundlet.journal where seq = 3");
  EXPECT_THAT(Problems(), ::testing::AllOf(HasSubstr("I2: "), HasSubstr("I3: ")));
}

TEST_F(AuditorTest, ANeighboursEntryInTheCircleIsNamed) {
  Tamper(absl::StrCat("update rundlet.journal set cellar_id = '", fleet_.circle_id(),
                      "', seq = 1000 where seq = 1 and cellar_id = '", fleet_.neighbours_id(),
                      "'"));
  EXPECT_THAT(Problems(), HasSubstr("I2: "));
  Tamper(
      "create view rundlet.everything as select cellar_id from rundlet.journal;"
      "grant select on rundlet.everything to rundlet_server");
  EXPECT_THAT(Problems(), HasSubstr("I6: "));
}

}  // namespace
}  // namespace rundlet::testing

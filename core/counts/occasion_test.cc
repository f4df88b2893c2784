// Goal: an occasion accounts for every bottle that was taken along: back, poured, sold, broken, or
// missing. Method: one invented tasting, step by step; the sums stand beside.
#include "core/counts/occasion.h"

#include "core/counts/differences.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::counts {
namespace {

using ::testing::IsEmpty;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

class OccasionTest : public CellarTest {
 protected:
  OccasionTest() {
    Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
    Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 24)},
                     {OutRest(v1::ACCOUNT_LOSS)}));
    v1::Entry occasion;
    occasion.mutable_registered()->set_thing_id(IdOf("tasting").ToBytes());
    occasion.mutable_registered()->mutable_bin()->set_name("tasting");
    occasion.mutable_registered()->mutable_bin()->set_occasion_on("2026-11-21");
    Do(phone_.Write(occasion));
  }
  void Close() {
    v1::Entry closed;
    closed.mutable_occasion_closed()->set_bin_id(IdOf("tasting").ToBytes());
    closed_ = Do(phone_.Write(closed));
  }
  WrittenEntry closed_;
};

// 12 along, 3 back, 6 poured, 1 sold, 1 broken: 1 is missing.
TEST_F(OccasionTest, EveryBottleIsAccountedFor) {
  Do(phone_.MoveBottles(BottlesOf("Spring run", 12), "Rack A", "tasting"));
  Do(phone_.MoveBottles(BottlesOf("Spring run", 3), "tasting", "Rack A"));
  Do(phone_.TakeBottles(BottlesOf("Spring run", 6), "tasting", v1::ACCOUNT_SERVED));
  Do(phone_.TakeBottles(BottlesOf("Spring run", 1), "tasting", v1::ACCOUNT_SOLD));
  Do(phone_.TakeBottles(BottlesOf("Spring run", 1), "tasting", v1::ACCOUNT_BREAKAGE));
  EXPECT_THAT(OpenDifferences(fold_), IsEmpty()) << "it is not over yet";
  Close();
  ASSERT_THAT(Occasions(fold_), SizeIs(1));
  const Occasion occasion = Occasions(fold_)[0];
  ASSERT_THAT(occasion.lines, SizeIs(1));
  const OccasionLine& line = occasion.lines[0];
  EXPECT_EQ(line.brought, 12);
  EXPECT_EQ(line.back, 3);
  EXPECT_EQ(line.out.at(v1::ACCOUNT_SERVED), 6);
  EXPECT_EQ(line.out.at(v1::ACCOUNT_SOLD), 1);
  EXPECT_EQ(line.left, 1);
  ASSERT_THAT(OpenDifferences(fold_), SizeIs(1));
  const Difference difference = OpenDifferences(fold_)[0];
  EXPECT_EQ(difference.kind, Difference::Kind::kOccasion);
  EXPECT_EQ(difference.off(), -1);
  EXPECT_EQ(difference.row, fold_.sequence().Find(EntryId(closed_.entry)));
  // Somebody remembers: it was given away.
  Do(phone_.TakeBottles(BottlesOf("Spring run", 1), "tasting", v1::ACCOUNT_GIFT));
  EXPECT_THAT(OpenDifferences(fold_), IsEmpty());
}

TEST_F(OccasionTest, ACountThatIsAdoptedSettlesTheRest) {
  Do(phone_.MoveBottles(BottlesOf("Spring run", 12), "Rack A", "tasting"));
  Close();
  EXPECT_EQ(Occasions(fold_)[0].left(), 12);
  Do(phone_.CountBin("tasting", {BottlesOf("Spring run", 0)}, true));
  EXPECT_EQ(Occasions(fold_)[0].left(), 0);
  EXPECT_EQ(Occasions(fold_)[0].lines[0].out.at(v1::ACCOUNT_COUNTED), 12);
  EXPECT_THAT(OpenDifferences(fold_), IsEmpty());
}

TEST_F(OccasionTest, VoidingTheCloseOpensItAgain) {
  Do(phone_.MoveBottles(BottlesOf("Spring run", 2), "Rack A", "tasting"));
  Close();
  EXPECT_NE(Occasions(fold_)[0].closed, kNone);
  Do(phone_.Write(draft::Void(EntryId(closed_.entry))));
  EXPECT_EQ(Occasions(fold_)[0].closed, kNone);
  EXPECT_THAT(OpenDifferences(fold_), IsEmpty());
}

}  // namespace
}  // namespace rundlet::counts

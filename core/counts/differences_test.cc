// Goal: what counts found against the book stays open until somebody settles it, is held against
// the book of its own moment, and lifts by itself when a late entry explains it; likely causes are
// offered. Method: small cellars of the invented circle, hour by hour.
#include "core/counts/differences.h"

#include "absl/strings/str_cat.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::counts {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using namespace rundlet::testing;  // NOLINT: the fixture's words

constexpr int64_t kHour = 60 * kMinuteUs;

class DifferencesTest : public CellarTest {
 protected:
  // 18 bottles in Rack A, 6 in Rack B.
  DifferencesTest() {
    Do(phone_.At(now_).Receive("Riesling", {Fill("C1", 20 * kLitre)}));
    Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 18), Group("Rack B", 6)},
                     {OutRest(v1::ACCOUNT_LOSS)}));
  }
  TestDevice& Hour(int hours) { return phone_.At(now_ + hours * kHour); }
  WrittenEntry Counted(absl::string_view bin, int64_t bottles, bool adopted = false) {
    return Do(phone_.CountBin(bin, {BottlesOf("Spring run", bottles)}, adopted));
  }
  std::vector<std::string> Open() {
    std::vector<std::string> texts;
    for (const Difference& d : OpenDifferences(fold_))
      texts.push_back(absl::StrCat(fold_.directory().NameOf(d.place, fold_.sequence()), ": ",
                                   WhatText(fold_, d), ": ", OffText(fold_, d)));
    return texts;
  }
  std::vector<std::string> Causes(size_t which = 0) {
    const std::vector<Difference> all = OpenDifferences(fold_);
    std::vector<std::string> texts;
    for (const Cause& cause : LikelyCauses(fold_, all[which], all, Occasions(fold_)))
      texts.push_back(cause.text);
    return texts;
  }

  const int64_t now_ = kDawnUs + kDayUs;
};

TEST_F(DifferencesTest, ACountIsHeldAgainstTheBookOfItsMoment) {
  Hour(5);
  Counted("Rack A", 18);
  Hour(6);
  Do(phone_.TakeBottles(BottlesOf("Spring run", 4), "Rack A"));
  EXPECT_THAT(Open(), IsEmpty());
  Hour(7);
  Counted("Rack A", 13);
  EXPECT_THAT(Open(), ElementsAre("Rack A: Spring run, 750 mL: 1 bottle less than the book"));
}

TEST_F(DifferencesTest, ALateEntryExplainsIt) {
  Hour(5);
  Counted("Rack A", 16);
  EXPECT_THAT(Open(), ElementsAre("Rack A: Spring run, 750 mL: 2 bottles less than the book"));
  Hour(3);
  Do(phone_.TakeBottles(BottlesOf("Spring run", 2), "Rack A", v1::ACCOUNT_GIFT));
  EXPECT_THAT(Open(), IsEmpty());
}

TEST_F(DifferencesTest, ARecountOrAnAdoptedCountSettlesIt) {
  Hour(5);
  Counted("Rack A", 16);
  Hour(6);
  Counted("Rack A", 18);
  EXPECT_THAT(Open(), IsEmpty());
  Hour(7);
  Counted("Rack A", 17);
  Hour(8);
  Counted("Rack A", 17, true);
  EXPECT_THAT(Open(), IsEmpty());
  EXPECT_EQ(BottlesIn("Rack A"), 17);
}

TEST_F(DifferencesTest, AMoveThatWasNotWrittenDown) {
  Hour(5);
  Counted("Rack A", 16);
  Counted("Rack B", 8);
  EXPECT_THAT(Open(), ElementsAre("Rack A: Spring run, 750 mL: 2 bottles less than the book",
                                  "Rack B: Spring run, 750 mL: 2 bottles more than the book"));
  EXPECT_THAT(Causes(), Contains("a move that was not written down: 2 from Rack A to Rack B"));
  EXPECT_EQ(Causes(0), Causes(1));
  Hour(4);
  Do(phone_.MoveBottles(BottlesOf("Spring run", 2), "Rack A", "Rack B"));
  EXPECT_THAT(Open(), IsEmpty());
}

TEST_F(DifferencesTest, AnEntryOnTheWrongSideOfTheCount) {
  Hour(5);
  Counted("Rack A", 15);
  Hour(6);
  Do(phone_.TakeBottles(BottlesOf("Spring run", 3), "Rack A"));
  EXPECT_THAT(Causes(), Contains(HasSubstr("may have happened before the count")));
  Hour(7);
  Counted("Rack A", 18);  // by the book 15: the take was written, the bottles are there
  EXPECT_THAT(Causes(), Contains(HasSubstr("may have happened after the count")));
}

TEST_F(DifferencesTest, AnEntryThatIsHeld) {
  Hour(4);
  Do(phone_.TakeBottles(BottlesOf("Spring run", 9), "Rack B"));
  Hour(5);
  Counted("Rack B", 0);
  EXPECT_THAT(Causes(), Contains(HasSubstr("an entry that is held")));
}

TEST_F(DifferencesTest, VesselsAndPackets) {
  Do(phone_.Receive("Elder", {Fill("C2", 10 * kLitre)}));
  Do(phone_.ReceiveMaterial("KMS-7", Mass(50 * kGram)));
  Hour(5);
  v1::Entry noted = draft::Gauging("C2", 9 * kLitre, v1::ACCOUNT_UNSPECIFIED);
  noted.mutable_gauging()->set_noted(true);
  Do(phone_.Write(noted));
  Do(phone_.Write(draft::MaterialCounted("KMS-7", Mass(60 * kGram), false)));
  EXPECT_THAT(Open(), ElementsAre("C2: wine: 1 L less than the book",
                                  "KMS-7: KMS-7: 10 g more than the book"));
  EXPECT_THAT(Causes(), Contains(HasSubstr("lost through wood")));
  Hour(6);
  Do(phone_.Gauge("C2", 9 * kLitre));
  EXPECT_THAT(Open(), ElementsAre("KMS-7: KMS-7: 10 g more than the book"));
}

}  // namespace
}  // namespace rundlet::counts

// Goal: an entry that would change what happened before a time is found, and no other is.
// Method: a small cellar of the invented circle; each kind of way into the past, and ways that lead
// nowhere.
#include "core/closing/reach.h"

#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::closing {
namespace {

using testing::Draw;
using testing::Fill;
using testing::kDawnUs;
using testing::kDayUs;
using testing::kLitre;

constexpr int64_t kUntil = kDawnUs + 10 * kDayUs;
constexpr int64_t kIn = kDawnUs + 5 * kDayUs;
constexpr int64_t kAfter = kDawnUs + 15 * kDayUs;

class ReachTest : public testing::CellarTest {
 protected:
  bool Touches(const WrittenEntry& written) {
    return Changes(fold_, ReachOf(written.entry), kUntil);
  }
  WrittenEntry Sample(int64_t at_us) {
    return phone_.At(at_us).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE);
  }
};

TEST_F(ReachTest, TheDateCounts) {
  EXPECT_TRUE(Touches(Sample(kUntil - 1)));
  EXPECT_FALSE(Touches(Sample(kUntil)));
  EXPECT_TRUE(Touches(phone_.At(kIn).RenameVessel("C1", "C9")));
  EXPECT_TRUE(Touches(phone_.At(kIn).Retire("C1")));
  EXPECT_FALSE(Touches(phone_.At(kAfter).RenameVessel("C1", "C9")));
}

TEST_F(ReachTest, WhatIsAboutTheBookAndNewThingsReachNowhere) {
  EXPECT_FALSE(Touches(phone_.At(kIn).RegisterVessel("a new one")));
  v1::Entry draft;
  draft.mutable_period_reopened()->set_from_us(kIn);
  draft.mutable_period_reopened()->set_reason("a slip");
  EXPECT_FALSE(Touches(phone_.At(kIn).Write(draft)));
}

// What was held for want of a thing would count as soon as somebody registers it.
TEST_F(ReachTest, AThingThatThePeriodNamesIsNotRegisteredLater) {
  const WrittenEntry held =
      Do(phone_.At(kIn).Withdraw(Draw("nobody's", kLitre), v1::ACCOUNT_SAMPLE));
  ASSERT_NE(fold_.HeldAt(fold_.sequence().PositionOf(testing::RowOf(fold_, held))), nullptr);
  EXPECT_TRUE(Touches(phone_.At(kAfter).RegisterVessel("nobody's")));
  EXPECT_TRUE(Touches(phone_.At(kIn).RegisterVessel("nobody's")));
  EXPECT_FALSE(Touches(phone_.At(kAfter).RegisterVessel("a new one")));
  Do(phone_.At(kAfter).Withdraw(Draw("later", kLitre), v1::ACCOUNT_SAMPLE));
  EXPECT_FALSE(Touches(phone_.At(kAfter).RegisterVessel("later"))) << "the period does not name it";
  Do(phone_.At(kAfter).Void(held.entry));
  EXPECT_FALSE(Touches(phone_.At(kAfter).RegisterVessel("nobody's"))) << "it counts no more";
}

TEST_F(ReachTest, AThingThatThePeriodNamesStaysWhatItIs) {
  const WrittenEntry late = Do(phone_.At(kAfter).RegisterVessel("late"));
  const WrittenEntry idle = Do(phone_.At(kAfter).RegisterVessel("idle"));
  Do(phone_.At(kIn).Receive("Riesling", {Fill("late", kLitre)}));
  EXPECT_FALSE(Touches(phone_.At(kAfter).RegisterVessel("late"))) << "it is a vessel already";
  EXPECT_TRUE(Touches(phone_.At(kIn).RegisterBin("late")));
  EXPECT_TRUE(Touches(phone_.At(kAfter).Void(late.entry)));
  EXPECT_TRUE(Touches(phone_.Amending(late.entry).At(kAfter).RegisterBin("late")));
  EXPECT_FALSE(Touches(phone_.At(kAfter).Void(idle.entry)));
}

TEST_F(ReachTest, AVoidReachesAsFarAsItsTarget) {
  const WrittenEntry inside = Do(Sample(kIn));
  const WrittenEntry outside = Do(Sample(kAfter));
  EXPECT_TRUE(Touches(phone_.At(kAfter).Void(inside.entry)));
  EXPECT_FALSE(Touches(phone_.At(kAfter).Void(outside.entry)));
  EXPECT_FALSE(Touches(phone_.At(kAfter).Void(testing::IdOf("nobody knows it"))))
      << "when it comes it is judged itself";
}

TEST_F(ReachTest, AnAmendmentReachesAsFarAsItsTargetAndItself) {
  const WrittenEntry inside = Do(Sample(kIn));
  const WrittenEntry outside = Do(Sample(kAfter));
  const auto amend = [&](const WrittenEntry& target, int64_t at_us) {
    return phone_.Amending(target.entry)
        .At(at_us)
        .Withdraw(Draw("C1", 2 * kLitre), v1::ACCOUNT_SAMPLE);
  };
  EXPECT_TRUE(Touches(amend(inside, kAfter))) << "it takes something away from the period";
  EXPECT_TRUE(Touches(amend(outside, kIn))) << "it brings something into it";
  EXPECT_FALSE(Touches(amend(outside, kAfter)));
}

TEST_F(ReachTest, ChainsOfAmendmentsAreFollowed) {
  const WrittenEntry inside = Do(Sample(kIn));
  const WrittenEntry moved =
      Do(phone_.Amending(inside.entry).At(kAfter).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  EXPECT_FALSE(Touches(phone_.At(kAfter).Void(moved.entry)))
      << "what it stands for is void for good and does not come back";
  // Two amend one entry: the greater id counts, the other is ready to take its place.
  const WrittenEntry first = Do(Sample(kAfter));
  const WrittenEntry low = Do(phone_.Amending(first.entry)
                                  .At(kIn)
                                  .WithId(*Uuid::Parse("01900000-0000-7000-8000-000000000001"))
                                  .Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  const WrittenEntry high = Do(phone_.Amending(first.entry)
                                   .At(kAfter)
                                   .WithId(*Uuid::Parse("0190ffff-0000-7000-8000-000000000001"))
                                   .Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  EXPECT_TRUE(Touches(phone_.At(kAfter).Void(high.entry))) << "the one in the period would count";
  Do(phone_.At(kAfter).Void(low.entry));
  EXPECT_FALSE(Touches(phone_.At(kAfter).Void(high.entry)));
}

}  // namespace
}  // namespace rundlet::closing

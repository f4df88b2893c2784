// Goal: the digest of the past stays as it is whatever happens after it, and changes with whatever
// changes what happened then; what is only called otherwise is told apart.
// Method: a small cellar; the digest before and after each kind of entry.
#include "core/closing/past.h"

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

class PastTest : public testing::CellarTest {
 protected:
  PastTest() {
    Do(phone_.At(kIn).Receive("Riesling", {Fill("C1", 20 * kLitre)}));
    early_ = written_.size();
    at_closing_ = NowDigest();
  }

  Past MakePast() {
    Past past(kUntil);
    for (size_t i = 0; i < written_.size(); ++i) {
      const RowId row = testing::RowOf(fold_, written_[i]);
      if (fold_.sequence().row(row).standing == Row::Standing::kCounts)
        past.Add(written_[i].entry, i < early_);
    }
    return past;
  }
  Hash NowDigest() { return MakePast().Now()->StateDigest(); }
  bool Same() { return NowDigest() == at_closing_; }
  bool SameButForNames() { return MakePast().WithEarlyNames()->StateDigest() == at_closing_; }

  size_t early_ = 0;
  Hash at_closing_ = {};
};

TEST_F(PastTest, WhatComesAfterLeavesItAlone) {
  Do(phone_.At(kAfter).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  Do(phone_.At(kAfter).RegisterVessel("C9"));
  Do(phone_.At(kIn).RegisterVessel("one that comes late"));
  Do(phone_.At(kAfter).RenameVessel("C4", "a vessel that was in no use"));
  Do(phone_.At(kAfter).Retire("C1"));
  Do(phone_.At(kAfter).SetTolerance(1, 1));
  EXPECT_TRUE(Same());
}

TEST_F(PastTest, WhatIsFiledIntoItChangesIt) {
  Do(phone_.At(kIn + 1).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  EXPECT_FALSE(Same());
  EXPECT_FALSE(SameButForNames());
}

TEST_F(PastTest, AVoidFromLaterChangesIt) {
  Do(phone_.At(kAfter).Void(written_.back().entry));
  EXPECT_FALSE(Same());
}

TEST_F(PastTest, AWriteAndItsVoidLeaveNothing) {
  const WrittenEntry slip = Do(phone_.At(kIn + 1).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE));
  Do(phone_.At(kAfter).Void(slip.entry));
  EXPECT_TRUE(Same());
}

TEST_F(PastTest, ANewNameIsSeenAndToldApart) {
  Do(phone_.At(kAfter).RenameVessel("C1", "the blue one"));
  EXPECT_FALSE(Same());
  EXPECT_TRUE(SameButForNames());
}

TEST_F(PastTest, WhatIsRegisteredAfterwardsAndNamedInItBelongsToIt) {
  Do(phone_.At(kIn + 1).Rack({testing::DrawAll("C1")}, {testing::FillRest("New")}));
  const Hash held = NowDigest();
  Do(phone_.At(kAfter).RegisterVessel("New"));
  EXPECT_NE(NowDigest(), held) << "what was held for the want of it counts now";
  EXPECT_EQ(testing::VolumeIn(*MakePast().Now(), "New"), 20 * kLitre);
}

}  // namespace
}  // namespace rundlet::closing

// Goal: all bottles of a lot are shared out by what the members put in, whole and exactly, and what
// each has taken is told. Method: invented members, sums beside.
#include "core/costs/shares.h"

#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::costs {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

class SharesTest : public CellarTest {
 protected:
  SharesTest() {
    for (const char* member : {"Maud", "Colm", "Isolde"}) {
      v1::Entry entry;
      entry.mutable_registered()->set_thing_id(IdOf(member).ToBytes());
      entry.mutable_registered()->mutable_member()->set_name(member);
      Do(phone_.Write(entry));
    }
    Do(phone_.Receive("Riesling", {Fill("C1", 18 * kLitre)}));
  }
  void Put(absl::string_view member, v1::ContributionKind kind, int64_t cents, int64_t amount = 0) {
    v1::Entry entry;
    v1::Contributed& put = *entry.mutable_contributed();
    put.set_member_id(IdOf(member).ToBytes());
    put.set_lot_id(IdOf("Riesling").ToBytes());
    put.set_kind(kind);
    put.set_worth_cents(cents);
    put.set_amount(amount);
    Do(phone_.Write(entry));
  }
  LotShares Shares() { return SharesOf(fold_, HandleOf(fold_, "Riesling")); }
};

// Worth 30, 20 and 50 of 100: of 23 bottles 6.9, 4.6 and 11.5.
TEST_F(SharesTest, WholeBottlesByWorth) {
  Put("Maud", v1::CONTRIBUTION_KIND_MONEY, 2000);
  Put("Maud", v1::CONTRIBUTION_KIND_WORK, 1000, 90);
  Put("Colm", v1::CONTRIBUTION_KIND_FRUIT, 2000, 30'000 * kGram);
  Put("Isolde", v1::CONTRIBUTION_KIND_MONEY, 5000);
  EXPECT_THAT(Shares().sizes, IsEmpty()) << "nothing is bottled yet";
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 23)},
                   {OutRest(v1::ACCOUNT_LOSS)}));
  v1::Entry take = draft::BottlesTaken(BottlesOf("Spring run", 4), "Rack A", v1::ACCOUNT_SHARE);
  take.mutable_bottles_taken()->set_member_id(IdOf("Colm").ToBytes());
  Do(phone_.Write(take));
  const LotShares shares = Shares();
  ASSERT_THAT(shares.members, SizeIs(3));
  EXPECT_EQ(shares.worth_cents(), 10000);
  EXPECT_EQ(shares.members[0].fruit_ug, 30'000 * kGram) << "Colm, by name";
  EXPECT_EQ(shares.members[2].work_min, 90);
  ASSERT_THAT(shares.sizes, SizeIs(1));
  EXPECT_EQ(shares.sizes[0].to_share, 23);
  // Colm 4.6, Isolde 11.5, Maud 6.9: the largest remainders are Maud's and Colm's.
  EXPECT_THAT(shares.sizes[0].entitled, ElementsAre(5, 11, 7));
  EXPECT_THAT(shares.sizes[0].taken, ElementsAre(4, 0, 0));
}

// Eight are broken before anything is taken: 15 of 3 and 1 parts, 11.25 and 3.75. Who put nothing
// in may have taken one all the same.
TEST_F(SharesTest, WhatIsGoneIsBorneByAll) {
  Put("Maud", v1::CONTRIBUTION_KIND_MONEY, 3000);
  Put("Colm", v1::CONTRIBUTION_KIND_MONEY, 1000);
  Do(phone_.Bottle("Spring run", {DrawAll("C1")}, {Group("Rack A", 23)},
                   {OutRest(v1::ACCOUNT_LOSS)}));
  Do(phone_.Write(draft::BottlesTaken(BottlesOf("Spring run", 8), "Rack A", v1::ACCOUNT_BREAKAGE)));
  v1::Entry take = draft::BottlesTaken(BottlesOf("Spring run", 1), "Rack A", v1::ACCOUNT_SHARE);
  take.mutable_bottles_taken()->set_member_id(IdOf("Isolde").ToBytes());
  Do(phone_.Write(take));
  const LotShares shares = Shares();
  ASSERT_THAT(shares.sizes, SizeIs(1));
  EXPECT_EQ(shares.sizes[0].to_share, 15);
  EXPECT_THAT(shares.sizes[0].entitled, ElementsAre(4, 0, 11)) << "Colm, Isolde, Maud";
  EXPECT_THAT(shares.sizes[0].taken, ElementsAre(0, 1, 0));
}

TEST_F(SharesTest, AVoidContributionCountsNoLonger) {
  v1::Entry entry;
  Put("Maud", v1::CONTRIBUTION_KIND_MONEY, 100);
  const WrittenEntry last = written_.back();
  Put("Colm", v1::CONTRIBUTION_KIND_MONEY, 100);
  Do(phone_.Write(draft::Void(EntryId(last.entry))));
  ASSERT_THAT(Shares().members, SizeIs(1));
}

}  // namespace
}  // namespace rundlet::costs

// Goal: what is to be bought is what running plans will want, and what is to be kept, less what is
// on hand and good by then. Method: small cellars of the invented circle; the sums stand beside.
#include "core/care/needs.h"

#include "core/plans/plan_text.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::care {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

constexpr char kPlan[] = R"(plan: Trial
step pitch: Yeast
  done by: add
  dose: yeast = 0.25 g/L
step feed: Nutrient
  when: 2 days after pitch
  done by: add
  dose: yeast nutrient = 10 g
step settle: Clear it
  when: 60 days after feed
  done by: add
  dose: Sulfite = as needed
)";

class NeedsTest : public CellarTest {
 protected:
  NeedsTest() {
    Do(phone_.RegisterMaterial("yeast"));
    Do(phone_.RegisterMaterialLot("YW-1", "yeast"));
    Do(phone_.At(now_).Receive("Riesling", {Fill("C1", 20 * kLitre)}));
    v1::Entry start;
    v1::PlanStarted& plan = *start.mutable_plan_started();
    plan = *plans::ParsePlan(kPlan);
    plan.set_plan_id(IdOf("plan").ToBytes());
    plan.set_lot_id(IdOf("Riesling").ToBytes());
    Do(phone_.At(now_).Write(start));
  }

  std::vector<Need> Needs(int days) {
    return NeedsOf(fold_, now_, now_ + days * kDayUs,
                   absl::CivilDay(absl::UTCTimeZone().At(absl::FromUnixMicros(now_)).cs));
  }
  void Expires(absl::string_view packet, const std::string& day) {
    v1::Entry change;
    change.mutable_changed()->set_thing_id(IdOf(packet).ToBytes());
    change.mutable_changed()->mutable_material_lot()->set_expires_on(day);
    Do(phone_.Write(change));
  }

  const int64_t now_ = kDawnUs + kDayUs;
};

// 20 L at 0.25 g/L are 5 g of yeast; 2 g of it are in stock.
TEST_F(NeedsTest, WhatThePlansWantLessWhatThereIs) {
  Do(phone_.ReceiveMaterial("YW-1", Mass(2 * kGram)));
  const std::vector<Need> needs = Needs(30);
  ASSERT_THAT(needs, SizeIs(2));
  EXPECT_EQ(needs[0].material, "yeast");
  EXPECT_EQ(needs[0].wanted, 5 * kGram);
  EXPECT_EQ(needs[0].on_hand, 2 * kGram);
  EXPECT_EQ(needs[0].Short(), 3 * kGram);
  EXPECT_THAT(needs[0].plans, ElementsAre("Trial"));
  EXPECT_EQ(needs[1].material, "yeast nutrient") << "which nobody has registered";
  EXPECT_EQ(needs[1].handle, kNoHandle);
  EXPECT_EQ(needs[1].Short(), 10 * kGram);
}

TEST_F(NeedsTest, StepsFurtherAheadAndStepsThatAreDoneWantNothing) {
  ASSERT_THAT(Needs(90), SizeIs(3));
  EXPECT_TRUE(Needs(90)[0].unmeasured) << Needs(90)[0].material;
  Do(phone_.At(now_ + 1).Add("C1", {FromLot("YW-1", Mass(5 * kGram))}));
  ASSERT_THAT(Needs(1), IsEmpty());
}

TEST_F(NeedsTest, WhatHasExpiredByThenIsNotOnHand) {
  Do(phone_.ReceiveMaterial("YW-1", Mass(20 * kGram)));
  EXPECT_EQ(Needs(30)[0].Short(), 0);
  Expires("YW-1", "1999-01-01");
  EXPECT_EQ(Needs(30)[0].on_hand, 0);
  EXPECT_EQ(Needs(30)[0].expired, 20 * kGram);
  EXPECT_EQ(Needs(30)[0].Short(), 5 * kGram);
}

TEST_F(NeedsTest, WhatIsToBeKeptIsBoughtToo) {
  v1::Entry keep;
  keep.mutable_changed()->set_thing_id(IdOf("yeast").ToBytes());
  keep.mutable_changed()->mutable_material()->set_keep_base(4 * kGram);
  Do(phone_.Write(keep));
  EXPECT_EQ(Needs(30)[0].Short(), 9 * kGram);
  Do(phone_.ReceiveMaterial("YW-1", Mass(9 * kGram)));
  EXPECT_EQ(Needs(30)[0].Short(), 0);
}

}  // namespace
}  // namespace rundlet::care

// Goal: each rule of finings is tripped, kept by just enough, and lifted. Method: 20 L of an
// invented wine, fined in the order and with the rest that the test says.
#include "core/rules/findings_fixture.h"

namespace rundlet::rules {
namespace {

using ::testing::Contains;
using testing::EntryId;
using ::testing::HasSubstr;
using testing::kGram;
using ::testing::Not;

class FiningRulesTest : public FindingsTest {};

TEST_F(FiningRulesTest, SilicaSolGoesFirst) {
  On(10);
  Add("chitosan", 10 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-silica-first"))) << "alone";
  On(11);
  const auto late = Add("silica sol", 10 * kGram);
  const Finding wrong = Of("fining-silica-first");
  EXPECT_EQ(CauseOf(wrong), EntryId(late.entry));
  EXPECT_THAT(wrong.text, HasSubstr("chitosan went in before the silica sol"));
  phone_.Amending(late.entry);
  On(9);
  Add("silica sol", 10 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-silica-first")));
}

TEST_F(FiningRulesTest, ItsPartnerWaits) {
  On(10);
  Add("silica sol", 10 * kGram);
  On(10.49);
  const auto soon = Add("gelatine", kGram);
  EXPECT_THAT(Of("fining-silica-wait").text, HasSubstr("11 hours after the silica sol"));
  phone_.Amending(soon.entry);
  On(10.5);
  Add("gelatine", kGram);
  EXPECT_THAT(Broken(), Not(Contains("note fining-silica-wait"))) << "12 hours";
}

TEST_F(FiningRulesTest, BothInOneEntryDoNotWait) {
  Do(phone_.Add("C1", {testing::OfMaterial("silica sol", testing::Mass(kGram)),
                       testing::OfMaterial("chitosan", testing::Mass(kGram))}));
  EXPECT_THAT(Broken(), Contains("note fining-silica-wait"));
  EXPECT_THAT(Broken(), Not(Contains("warn fining-silica-first")));
}

TEST_F(FiningRulesTest, DegassedFirst) {
  On(1);
  Add("bentonite", 10 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-degassed-first")))
      << "bentonite may go into must";
  On(20);
  Add("silica sol", 10 * kGram);
  EXPECT_THAT(Broken(), Contains("warn fining-degassed-first"));
  On(19);
  Degas();
  EXPECT_THAT(Broken(), Not(Contains("warn fining-degassed-first")));
}

TEST_F(FiningRulesTest, DegassedTooLongAgo) {
  On(1);
  Degas();
  On(91);
  Add("silica sol", kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-degassed-first"))) << "90 days";
  On(92);
  Add("silica sol", kGram);
  EXPECT_THAT(Broken(), Contains("warn fining-degassed-first"));
}

TEST_F(FiningRulesTest, OneFiningAtATime) {
  On(10);
  Add("bentonite", 10 * kGram);
  On(14.9);
  const auto second = Add("PVPP", 5 * kGram);
  EXPECT_THAT(Of("fining-one-at-a-time").text, HasSubstr("PVPP went in 4 days after bentonite"));
  phone_.Amending(second.entry);
  On(15);
  Add("PVPP", 5 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-one-at-a-time"))) << "five days";
}

TEST_F(FiningRulesTest, PartnersAreOneFining) {
  On(10);
  Add("silica sol", 10 * kGram);
  On(11);
  Add("chitosan", 10 * kGram);
  EXPECT_THAT(Broken(), Not(Contains("warn fining-one-at-a-time")));
}

TEST_F(FiningRulesTest, AllergensAreNamedWithWhatTheLawSays) {
  Jurisdictions({"EU"});
  Add("chitosan", kGram);
  EXPECT_THAT(Broken(), Not(Contains("note fining-allergen")));
  const auto egg = Add("egg white", kGram);
  const Finding allergen = Of("fining-allergen");
  EXPECT_THAT(allergen.text, HasSubstr("C1: egg white is in it (egg)"));
  EXPECT_THAT(allergen.text, HasSubstr("EU: listed"));
  EXPECT_EQ(CauseOf(allergen), EntryId(egg.entry));
  EXPECT_THAT(Broken(), Not(Contains("warn fining-crustacean-chitosan")));
  Add("shrimp chitosan", kGram);
  EXPECT_THAT(Broken(), Contains("warn fining-crustacean-chitosan"));
  Do(phone_.Void(egg.entry));
  EXPECT_THAT(Of("fining-allergen").text, HasSubstr("shrimp chitosan"));
}

}  // namespace
}  // namespace rundlet::rules

// Goal: the wine's story is followed through the vessels that it was in, and each reading is known
// to hold or to be overtaken by what was done since.
// Method: small cellars of the invented circle, entry by entry.
#include "core/view/wine_story.h"

#include <map>

#include "tests/support/cellar_fixture.h"

namespace rundlet {
namespace {

using testing::Draw;
using testing::DrawAll;
using ::testing::ElementsAre;
using testing::Fill;
using testing::FillRest;
using ::testing::IsEmpty;
using testing::kDayUs;
using testing::kGram;
using testing::kLitre;
using testing::Mass;
using testing::Measured;
using testing::OfMaterial;
using testing::Volume;

class WineStoryTest : public testing::CellarTest {
 protected:
  WineStoryTest() {
    Say("Sulfite", "sulfite");
    phone_.At(testing::kDawnUs + kDayUs);
  }

  // What kind of material it is.
  void Say(absl::string_view material, const std::string& kind) {
    v1::Entry draft;
    draft.mutable_changed()->set_thing_id(testing::IdOf(material).ToBytes());
    draft.mutable_changed()->mutable_material()->set_kind(kind);
    Do(phone_.Write(draft));
  }

  void ReadPhAndSo2(absl::string_view vessel) {
    Do(phone_.Read(vessel,
                   {Measured(v1::READING_KIND_PH, v1::READING_UNIT_PH, 3'400'000),
                    Measured(v1::READING_KIND_FREE_SO2, v1::READING_UNIT_MG_PER_L, 30'000'000)}));
  }

  // Whether the readings of a vessel's wine hold, by kind.
  std::map<v1::ReadingKind, bool> Hold(absl::string_view vessel) {
    std::map<v1::ReadingKind, bool> hold;
    for (const KnownReading& reading : KnownReadings(fold_, testing::HandleOf(fold_, vessel)))
      hold[reading.kind] = reading.changed_by == kNone;
    return hold;
  }

  std::vector<ActKind> Story(absl::string_view vessel) {
    std::vector<ActKind> kinds;
    for (const StoryStep& step : StoryOf(fold_, testing::HandleOf(fold_, vessel)))
      kinds.push_back(fold_.sequence().row(fold_.sequence().at(step.position)).kind);
    return kinds;
  }
};

using Truth = std::map<v1::ReadingKind, bool>;

TEST_F(WineStoryTest, SulfiteOvertakesSulfurDioxideOnly) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, true}}));
  Do(phone_.Add("C1", {OfMaterial("Sulfite", Mass(2 * kGram))}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, false}}));
  ReadPhAndSo2("C1");
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, true}}));
}

// What nobody knows may change anything; what is known to leave the readings alone does.
TEST_F(WineStoryTest, AMaterialOvertakesWhatItMayChange) {
  const Truth all_hold = {{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, true}};
  Do(phone_.RegisterMaterial("Tartaric acid"));
  Do(phone_.RegisterMaterial("Oak chips"));
  Do(phone_.RegisterMaterial("Grandmother's secret"));
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  Do(phone_.Add("C1", {OfMaterial("Oak chips", Mass(20 * kGram))}));
  EXPECT_EQ(Hold("C1"), all_hold);
  Do(phone_.Add("C1", {OfMaterial("Tartaric acid", Mass(20 * kGram))}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, true}}));
  ReadPhAndSo2("C1");
  // As much as a fining's solution brings.
  Do(phone_.Add("C1", {OfMaterial("Oak chips", Volume(20'000), 20'000)}));
  EXPECT_EQ(Hold("C1"), all_hold);
  Do(phone_.Add("C1", {OfMaterial("Grandmother's secret", Mass(kGram))}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, false}}));
}

TEST_F(WineStoryTest, YeastAndColdOvertakeWhatTheyChange) {
  Do(phone_.RegisterMaterial("Wine yeast"));
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  Do(phone_.Treat("C1", v1::TREATMENT_KIND_CHILLING));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, true}}));
  ReadPhAndSo2("C1");
  // A fermentation binds the free SO2 of the must and moves its acids.
  Do(phone_.Add("C1", {OfMaterial("Wine yeast", Mass(5 * kGram))}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, false}}));
}

TEST_F(WineStoryTest, WaterOvertakesEverything) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  Do(phone_.Add("C1", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, false}}));
}

TEST_F(WineStoryTest, FollowsTheWineIntoItsNextVessel) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  Do(phone_.Add("C1", {OfMaterial("Sulfite", Mass(2 * kGram))}));
  Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_THAT(Story("C1"), IsEmpty());
  EXPECT_THAT(Story("C2"),
              ElementsAre(ActKind::kReceive, ActKind::kRead, ActKind::kAdd, ActKind::kTransfer));
  EXPECT_EQ(Hold("C2"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, false}}));
  // What happens in the old vessel from now on is another wine's story.
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Add("C1", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  EXPECT_EQ(Hold("C2"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, false}}));
}

TEST_F(WineStoryTest, AToppingOvertakesEverythingAndABlendBeginsANewStory) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Receive("Riesling", {Fill("C2", 10 * kLitre)}));
  ReadPhAndSo2("C1");
  Do(phone_.Top(Draw("C2", kLitre), {Fill("C1", kLitre)}));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, false}, {v1::READING_KIND_FREE_SO2, false}}));
  Do(phone_.Blend({DrawAll("C1"), DrawAll("C2")}, {FillRest("C3")}));
  EXPECT_THAT(Story("C3"), ElementsAre(ActKind::kTransfer));
  EXPECT_THAT(Hold("C3"), IsEmpty());
}

TEST_F(WineStoryTest, WhatIsVoidOrHeldIsNoPartOfIt) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  ReadPhAndSo2("C1");
  const WrittenEntry added = Do(phone_.Add("C1", {OfMaterial("Sulfite", Mass(2 * kGram))}));
  Do(phone_.Void(added.entry));
  Do(phone_.Rack({Draw("C1", 90 * kLitre)}, {FillRest("C2")}));
  EXPECT_THAT(Story("C1"), ElementsAre(ActKind::kReceive, ActKind::kRead));
  EXPECT_EQ(Hold("C1"), (Truth{{v1::READING_KIND_PH, true}, {v1::READING_KIND_FREE_SO2, true}}));
}

TEST_F(WineStoryTest, ReadingsOfOneKindInOrder) {
  Do(phone_.Receive("Elder", {Fill("C1", 20 * kLitre)}));
  for (const int64_t value : {1'090'000, 1'050'000}) {
    Do(phone_.Read("C1",
                   {Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_SPECIFIC_GRAVITY, value)}));
  }
  Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  Do(phone_.Read(
      "C2", {Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_SPECIFIC_GRAVITY, 1'010'000)}));
  std::vector<int64_t> values;
  for (const KnownReading& reading :
       ReadingsOf(fold_, testing::HandleOf(fold_, "C2"), v1::READING_KIND_DENSITY))
    values.push_back(reading.value_micro);
  EXPECT_THAT(values, ElementsAre(1'090'000, 1'050'000, 1'010'000));
  const Handle vessel = testing::HandleOf(fold_, "C2");
  EXPECT_EQ(SameWineSince(fold_, vessel), 0u);
  const WrittenEntry watered = Do(phone_.Add("C2", {OfMaterial("Water", Volume(kLitre), kLitre)}));
  Do(phone_.Add("C2", {OfMaterial("Sulfite", Mass(kGram))}));
  EXPECT_EQ(SameWineSince(fold_, vessel), testing::PositionOf(fold_, watered));
}

}  // namespace
}  // namespace rundlet

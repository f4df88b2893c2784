// Goal: readings, treatments and observations go with the wine that they were made of, not with the
// vessel.
// Method: small cellars by hand.
#include "tests/support/cellar_fixture.h"

namespace rundlet::testing {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class FactsTest : public CellarTest {
 protected:
  WrittenEntry ReadDensity(absl::string_view vessel, int64_t value_micro) {
    return Do(phone_.Read(vessel, {Measured(v1::READING_KIND_DENSITY,
                                            v1::READING_UNIT_SPECIFIC_GRAVITY, value_micro)}));
  }
};

TEST_F(FactsTest, ReadOfTheWine) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  const auto reading = Do(phone_.Read(
      "C1", {Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_OECHSLE, 85'000'000),
             Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_CELSIUS, 18'000'000)}));
  EXPECT_THAT(MovesOf(reading), IsEmpty());
  EXPECT_THAT(FactsIn("C1"), ElementsAre("reading 2 = 18000000", "reading 1 = 85000000"));
  const auto facts = fold_.FactsAt(PositionOf(fold_, reading));
  EXPECT_EQ(facts[0].unit, v1::READING_UNIT_OECHSLE);
  EXPECT_EQ(facts[0].parcel, fold_.state().holding(HandleOf(fold_, "C1")).parcel);
}

TEST_F(FactsTest, GoWithTheWineIntoAnEmptyVessel) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  ReadDensity("C1", 1'090'000);
  Do(phone_.Rack({DrawAll("C1")}, {FillRest("C2")}));
  EXPECT_THAT(FactsIn("C1"), IsEmpty());
  EXPECT_THAT(FactsIn("C2"), ElementsAre("reading 1 = 1090000"));
  // New wine in C1 has no past.
  Do(phone_.Receive("Elder", {Fill("C1", 5 * kLitre)}));
  EXPECT_THAT(FactsIn("C1"), IsEmpty());
}

// What was measured of one of its wines says nothing of a blend.
TEST_F(FactsTest, ABlendBeginsWithNone) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre), Fill("C2", 10 * kLitre)}));
  ReadDensity("C1", 1'090'000);
  ReadDensity("C2", 1'050'000);
  Do(phone_.Blend({Draw("C1", 2 * kLitre), Draw("C2", 3 * kLitre)}, {FillRest("C3")}));
  EXPECT_THAT(FactsIn("C3"), IsEmpty());
  ReadDensity("C3", 1'066'000);
  EXPECT_THAT(FactsIn("C3"), ElementsAre("reading 1 = 1066000"));
  EXPECT_THAT(FactsIn("C2"), ElementsAre("reading 1 = 1050000"));
}

TEST_F(FactsTest, BranchWithTheWineAndStayWhereItIsToppedUp) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre), Fill("C2", 10 * kLitre)}));
  ReadDensity("C1", 1'090'000);
  Do(phone_.Rack({Draw("C1", 4 * kLitre)}, {FillRest("C3")}));
  ReadDensity("C3", 1'066'000);
  EXPECT_THAT(FactsIn("C3"), ElementsAre("reading 1 = 1066000", "reading 1 = 1090000"));
  EXPECT_THAT(FactsIn("C1"), ElementsAre("reading 1 = 1090000"));
  // Topped up out of two others, the wine keeps its own.
  Do(phone_.Blend({Draw("C1", kLitre), Draw("C2", kLitre)}, {FillRest("C3")}));
  EXPECT_THAT(FactsIn("C3"), ElementsAre("reading 1 = 1066000", "reading 1 = 1090000"));
}

TEST_F(FactsTest, TreatedAndObserved) {
  Do(phone_.Receive("Riesling", {Fill("C1", 10 * kLitre)}));
  Do(phone_.Treat("C1", v1::TREATMENT_KIND_STIRRING, 5));
  const auto seen = Do(phone_.Observe("C1"));
  EXPECT_THAT(FactsIn("C1"), ElementsAre("observation 0 = 0", "treatment 2 = 5"));
  EXPECT_THAT(MovesOf(seen), IsEmpty());
}

TEST_F(FactsTest, NothingToMeasureInAnEmptyVessel) {
  const auto read = ReadDensity("C1", 1'000'000);
  EXPECT_EQ(HeldText(read), "EMPTY_VESSEL C1 needs 0 there 0");
  EXPECT_EQ(HeldText(Do(phone_.Treat("C1", v1::TREATMENT_KIND_CHILLING))),
            "EMPTY_VESSEL C1 needs 0 there 0");
  // But an empty vessel, a bin or a lot can be looked at.
  const auto seen = Do(phone_.Observe("C1"));
  EXPECT_EQ(HeldText(seen), "");
  EXPECT_EQ(fold_.FactsAt(PositionOf(fold_, seen))[0].parcel, kNone);
  EXPECT_EQ(HeldText(Do(phone_.Observe("Rack A"))), "");
  EXPECT_EQ(HeldText(Do(phone_.Observe("Riesling"))), "");
  EXPECT_THAT(FactsIn("C1"), IsEmpty());
}

}  // namespace
}  // namespace rundlet::testing

// Goal: a sheet that is filled in says what was counted and what was not; what is wrong in it is
// named by its line. Method: sheets as people write them.
#include "core/counts/sheet.h"

#include "tests/support/cellar_fixture.h"

namespace rundlet::counts {
namespace {

using ::testing::HasSubstr;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

TEST(SheetTest, WhatWasCountedAndWhatWasNot) {
  const auto sheet = ReadSheet(
      "# after the tasting\nat: yesterday 18:30\n\nbin: Rack A\nSpring run@750mL = 8  # two sides\n"
      "Spring run@375mL =\nbin: Rack B\nElder 2 = 0\nbin: Rack C\nElder 2 =\n");
  ASSERT_TRUE(sheet.ok()) << sheet.status();
  EXPECT_EQ(sheet->at, "yesterday 18:30");
  ASSERT_THAT(sheet->bins, SizeIs(2)) << "nothing was counted in Rack C";
  ASSERT_THAT(sheet->bins[0].lines, SizeIs(1));
  EXPECT_EQ(sheet->bins[0].lines[0].run, "Spring run@750mL");
  EXPECT_EQ(sheet->bins[0].lines[0].bottles, 8);
  EXPECT_EQ(sheet->bins[0].lines[0].number, 5);
  EXPECT_EQ(sheet->bins[1].lines[0].bottles, 0) << "none is a count";
}

TEST(SheetTest, NamesMayHoldANumberSign) {
  const auto sheet = ReadSheet("bin: Rack #2\nCuvee #1@750mL = 4 # counted twice\n");
  ASSERT_TRUE(sheet.ok()) << sheet.status();
  EXPECT_EQ(sheet->bins[0].bin, "Rack #2");
  EXPECT_EQ(sheet->bins[0].lines[0].run, "Cuvee #1@750mL");
  EXPECT_EQ(sheet->bins[0].lines[0].bottles, 4);
}

TEST(SheetTest, WhatIsWrongIsNamedByItsLine) {
  const auto why = [](const char* text) { return std::string(ReadSheet(text).status().message()); };
  EXPECT_THAT(why("Spring run = 3\n"), HasSubstr("line 1: in which bin?"));
  EXPECT_THAT(why("bin: A\nSpring run\n"), HasSubstr("line 2: \"Spring run\" says no number"));
  EXPECT_THAT(why("bin: A\nSpring run = many\n"), HasSubstr("line 2: \"many\" is no number"));
  EXPECT_THAT(why("bin: A\nSpring run = -1\n"), HasSubstr("line 2"));
  EXPECT_THAT(why("bin: A\nx = 1\nX = 2\n"), HasSubstr("line 3: \"X\" is counted twice"));
  EXPECT_THAT(why("bin: A\nx = 1\nbin: a\n"), HasSubstr("line 3: \"a\" is on this sheet already"));
  EXPECT_THAT(why("bin:\n"), HasSubstr("line 1: which bin?"));
  EXPECT_THAT(why("bin: A\nx =\n"), HasSubstr("nothing is counted"));
}

class BlankSheetTest : public CellarTest {};

TEST_F(BlankSheetTest, NamesWhatLiesThereWithoutTheNumbers) {
  Do(phone_.Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  Do(phone_.Bottle("Spring run", {DrawAll("C1")},
                   {Group("Rack A", 18), Group("Rack B", 8, 375'000)},
                   {OutRest(v1::ACCOUNT_LOSS)}));
  const std::string blank =
      BlankSheet(fold_, {HandleOf(fold_, "Rack A"), HandleOf(fold_, "Rack B")});
  EXPECT_THAT(blank, HasSubstr("bin: Rack A\nSpring run@750mL =\n"));
  EXPECT_THAT(blank, HasSubstr("bin: Rack B\nSpring run@375mL =\n"));
  EXPECT_EQ(blank.find("18"), std::string::npos) << "who counts does not see the book";
  EXPECT_THAT(std::string(ReadSheet(blank).status().message()), HasSubstr("nothing is counted"));
}

}  // namespace
}  // namespace rundlet::counts

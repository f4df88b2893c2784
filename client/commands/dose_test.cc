// Goal: a dose is reckoned from the wine's own readings, never from one that is missing or
// overtaken, and recorded as it was shown. Method: command lines run in this process against a real
// store of an invented cellar; what they print and what the book says afterwards is looked at.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <set>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/dose/dose_subject.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

class DoseTest : public ::testing::Test {
 protected:
  DoseTest() {
    cellar_.Do("vessel new C1 C2 C3 --capacity 23L");
    cellar_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
    cellar_.Advance(absl::Hours(1));
  }
  void ReadAll() {
    cellar_.Do("read C1 1.085 18C pH=3.4 ta=6.2g/L so2=12mg/L tso2=40mg/L abv=12%");
    cellar_.Advance(absl::Hours(1));
  }
  void NewSulfite() { cellar_.Do("material new 'potassium metabisulfite'"); }
  std::string Log() { return cellar_.Do("log --all").out; }
  // The amount that stands first, without its unit.
  static double FirstAmount(const TestCellar::Result& result) {
    const size_t digit = result.out.find("  ");
    double value = -1;
    std::string text = result.out.substr(digit + 2);
    text = text.substr(text.find_first_not_of(' '));
    EXPECT_TRUE(absl::SimpleAtod(text.substr(0, text.find(' ')), &value)) << result.out;
    return value;
  }

  TestCellar cellar_;
};

// The subjects of one material, with what each is asked.
struct Question {
  const char* subject;
  const char* options;
};
constexpr Question kQuestions[] = {
    {"sulfite", "--to-molecular 0.8"},
    {"sulfite-given", "--amount 1 --months 2 --loss 3"},
    {"sorbate", ""},
    {"tartaric", "--to 7"},
    {"malic", "--by 1"},
    {"citric", "--to 6.5"},
    {"bicarbonate", "--to 5.5"},
    {"carbonate", "--by 1"},
    {"chalk", "--to 5.5"},
    {"sugar", "--to 1.095"},
    {"sugar-for-alcohol", "--by 1 --potential 11"},
    {"concentrate", "--to 1.095 --concentrate 68"},
    {"water", "--to 1.080"},
    {"spirit", "--to 18 --spirit 96"},
    {"bentonite", "--dose 0.5g/L"},
    {"two-part", "--silica 100 --dose 50 --second chitosan"},
    {"trial", "--stock 5 --used 2mL --sample 100mL --of bentonite"},
    {"gelatine", "--dose 30"},
    {"gelatine-red", "--dose 60"},
    {"chitosan", "--dose 50"},
    {"isinglass", "--dose 15"},
    {"casein", "--dose 200"},
    {"egg", "--dose 60"},
    {"pvpp", "--dose 300"},
    {"tannin", "--dose 50"},
    {"oak", "--dose 2g/L"},
    {"copper", "--dose 0.2 --now 0.1"},
    {"yeast", ""},
    {"nutrient", "--yan 120"},
};

TEST_F(DoseTest, EverySubjectAnswers) {
  ReadAll();
  std::set<std::string> asked;
  for (const Question& question : kQuestions) {
    asked.insert(question.subject);
    const std::string line = absl::StrCat("dose ", question.subject, " C1 ", question.options);
    const auto plain = cellar_.Do(line);
    EXPECT_GT(FirstAmount(plain), 0) << line << "\n" << plain.out;
    const auto explained = cellar_.Do(line + " --explain");
    EXPECT_THAT(explained.out, AllOf(HasSubstr("How it came about"), HasSubstr("It rests on")));
    EXPECT_THAT(plain.out + explained.out, AllOf(Not(HasSubstr("nan")), Not(HasSubstr("inf "))));
    google::protobuf::Struct json;
    const auto as_json = cellar_.Do(line + " --json");
    EXPECT_TRUE(google::protobuf::util::JsonStringToMessage(as_json.out, &json).ok())
        << as_json.out;
  }
  for (const DoseSubject& subject : AllDoseSubjects())
    EXPECT_TRUE(asked.contains(subject.word)) << subject.word << " is not tried";
  EXPECT_THAT(cellar_.Do("show C1").out, Not(HasSubstr("Added"))) << "nothing was recorded";
}

TEST_F(DoseTest, NonsenseIsRefused) {
  ReadAll();
  for (const char* line :
       {"dose sulfite C1 --to-molecular 80", "dose sulfite C1 --ph 34", "dose tartaric C1",
        "dose tartaric C1 --to 700", "dose sugar C1 --to 10.95", "dose bentonite C1",
        "dose bentonite C1 --dose banana", "dose bentonite C1 --dose ''",
        "dose spirit C1 --to 18 --spirit 9600",
        "dose two-part C1 --silica 100 --dose 50 --second x", "dose yeast C1 --rate 0",
        "dose nutrient C1 --yan 120000", "dose sulphite C1",
        "dose sulfite C1 --note 'without --record'", "dose sulfite C1 --dry-run"}) {
    const auto result = cellar_.Run(line);
    EXPECT_EQ(result.exit_code, 2) << line << "\n" << result.out;
    EXPECT_THAT(result.err, StartsWith("rundlet: ")) << line;
  }
  EXPECT_THAT(cellar_.Run("dose sulfit C1 --to-free 30").err, HasSubstr("did you mean sulfite"));
  EXPECT_THAT(cellar_.Run("dose yeast C2").err, HasSubstr("C2 holds no wine"));
  EXPECT_EQ(cellar_.Run("dose yeast C9").exit_code, 1);
}

TEST_F(DoseTest, AMissingReadingIsNamedWithTheCommandThatTakesIt) {
  const auto refused = cellar_.Run("dose sulfite C1");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_EQ(refused.out, "");
  EXPECT_THAT(refused.err, AllOf(HasSubstr("free SO2 of C1 is not known"),
                                 HasSubstr("rundlet read C1 so2="), HasSubstr("--free")));
  EXPECT_THAT(cellar_.Run("dose sorbate C1").err, HasSubstr("rundlet read C1 abv="));
  EXPECT_THAT(cellar_.Run("dose sugar C1 --to 1.095").err, HasSubstr("rundlet read C1 1.0"));
  cellar_.Do("read C1 so2=12mg/L");
  EXPECT_THAT(
      cellar_.Run("dose sulfite C1").err,
      AllOf(HasSubstr("needs the pH"), HasSubstr("rundlet read C1 ph="), HasSubstr("--ph")));
  // What is nice to know is not insisted on, and its lack is said.
  const auto dose = cellar_.Do("dose sulfite C1 --to-free 30");
  EXPECT_THAT(dose.err, HasSubstr("the pH of C1 is not known"));
}

TEST_F(DoseTest, AnOvertakenReadingIsRefusedUntilItIsTakenAnew) {
  ReadAll();
  NewSulfite();
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --explain").out,
              HasSubstr("free SO2 as read on 2026-03-02 11:00: 12 mg/L"));
  cellar_.Do("add C1 'potassium metabisulfite' 1g");
  cellar_.Advance(absl::Hours(1));
  const auto refused = cellar_.Run("dose sulfite C1");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err,
              AllOf(HasSubstr("free SO2 of C1 was read on 2026-03-02 11:00, before what was done"),
                    HasSubstr("2026-03-02 12:00"), HasSubstr("rundlet read C1 so2=")));
  cellar_.Do("read C1 so2=31mg/L");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --explain --to-free 40").out,
              HasSubstr("free SO2 as read on 2026-03-02 13:00: 31 mg/L"));
  // Wine of another kind comes in.
  cellar_.Do("receive juice 5L --into C2 --lot 'Hedge Red 26'");
  cellar_.Do("top C1 --from C2=1L");
  EXPECT_THAT(cellar_.Run("dose sulfite C1").err, HasSubstr("before what was done to the wine"));
  EXPECT_THAT(cellar_.Run("dose spirit C1 --to 18 --spirit 96").err,
              HasSubstr("rundlet read C1 abv="));
  cellar_.Do("read C1 so2=28mg/L");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40").err, HasSubstr("the pH of C1 was read on"))
      << "overtaken as well, but not needed";
}

TEST_F(DoseTest, AnOldReadingIsUsedAndItsAgeSaid) {
  ReadAll();
  cellar_.Advance(absl::Hours(24 * 45));
  EXPECT_THAT(cellar_.Do("dose sulfite C1").err, HasSubstr("the pH was read 45 days ago"));
}

TEST_F(DoseTest, AnOptionSaysTheValueInPlaceOfTheReading) {
  const auto said = cellar_.Do("dose sulfite C1 --free 12 --ph 3.4 --alcohol 12 --temperature 18C");
  ReadAll();
  const auto read = cellar_.Do("dose sulfite C1");
  EXPECT_EQ(FirstAmount(said), FirstAmount(read));
  EXPECT_LT(FirstAmount(cellar_.Do("dose sulfite C1 --ph 3.2")), FirstAmount(read));
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --ph 3.2 --explain").out,
              Not(HasSubstr("pH as read on")));
  const auto fahrenheit = cellar_.Do("dose sulfite C1 --temperature 64.4F");
  EXPECT_EQ(fahrenheit.out, read.out);
}

TEST_F(DoseTest, TheAmountIsRight) {
  // 30 mg/L more in 20 L at 60 % that stays free: 50 mg/L x 20 L = 1 g of SO2, of which fresh
  // powder is 57.63 %: 1.735 g.
  NewSulfite();
  cellar_.Do("read C1 so2=10mg/L");
  const auto dose = cellar_.Do("dose sulfite C1 --to-free 40");
  EXPECT_NEAR(FirstAmount(dose), 1.735, 0.006);
  EXPECT_THAT(dose.out, HasSubstr("oz)"));
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 40 --free-share 100%")), 1.041,
              0.006);
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 40 --yield 50%")), 2, 0.006);
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 40 --solution 10")), 17.35, 0.06);
  EXPECT_EQ(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 5")), 0);
}

TEST_F(DoseTest, SodiumIsKnownHoweverItIsWritten) {
  cellar_.Do("read C1 so2=10mg/L");
  // 674 mg of SO2 in a gram: 1 g of SO2 takes 1.484 g.
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 40 --salt sodium")), 1.484, 0.006);
  cellar_.Do("material new 'Sodium Metabisulfite' --kind sulfite");
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --to-free 40")), 1.484, 0.006);
}

TEST_F(DoseTest, RecordSavesWhatWasShown) {
  ReadAll();
  NewSulfite();
  const auto shown = cellar_.Do("dose sulfite C1 --to-free 40");
  const auto recorded = cellar_.Do("dose sulfite C1 --to-free 40 --record --note 'after racking'");
  EXPECT_THAT(recorded.out, AllOf(StartsWith(shown.out), HasSubstr("saved as ")));
  const std::string grams = absl::StrCat(FirstAmount(shown));
  EXPECT_THAT(recorded.out, HasSubstr(absl::StrCat("added ", grams, " g potassium metabisulfite")));
  EXPECT_THAT(Log(),
              AllOf(HasSubstr(absl::StrCat("added ", grams, " g")), HasSubstr("after racking")));
  EXPECT_THAT(cellar_.Do("show C1").out,
              AllOf(HasSubstr("potassium metabisulfite"), HasSubstr("mg/L")));
  // The readings are overtaken by it.
  EXPECT_EQ(cellar_.Run("dose sulfite C1 --to-free 40 --record").exit_code, 1);
}

TEST_F(DoseTest, ADryRunSavesNothing) {
  ReadAll();
  NewSulfite();
  const std::string before = Log();
  const auto dry = cellar_.Do("dose sulfite C1 --record --dry-run");
  EXPECT_THAT(dry.out, AllOf(HasSubstr("added "), HasSubstr("nothing was saved")));
  EXPECT_EQ(Log(), before);
  cellar_.Do("dose sulfite C1");
  EXPECT_EQ(Log(), before);
}

TEST_F(DoseTest, ARecordedDoseTakesFromItsPacketAndItsTime) {
  cellar_.Do("packet new 'potassium metabisulfite' --name KMS-1 --amount 100g");
  cellar_.Advance(absl::Hours(1));
  cellar_.Do("read C1 so2=10mg/L --at 11:30");
  const auto recorded =
      cellar_.Do("dose sulfite C1 --to-free 40 --record --packet KMS-1 --at 11:45");
  EXPECT_THAT(recorded.out,
              AllOf(HasSubstr("KMS-1 in stock  100 g -> 98.2"), HasSubstr("on 2026-03-02 11:45")));
  EXPECT_THAT(cellar_.Run("dose sulfite C1 --free 10 --to-free 40 --record --packet KMS-9").err,
              HasSubstr("KMS-9"));
}

TEST_F(DoseTest, OfSolutionsAndTabletsTheSaltIsRecorded) {
  NewSulfite();  // kept by weight
  cellar_.Do("read C1 so2=10mg/L");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40 --solution 10 --record --dry-run").out,
              AllOf(HasSubstr("17.4 mL"), HasSubstr("added 1.74 g potassium metabisulfite")));
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40 --tablet 0.44g --record --dry-run").out,
              AllOf(HasSubstr("3.94 tablets"), HasSubstr("added 1.74 g potassium metabisulfite")));
}

TEST_F(DoseTest, NothingToAddIsNotRecorded) {
  ReadAll();
  NewSulfite();
  const std::string before = Log();
  const auto none = cellar_.Run("dose sulfite C1 --to-free 5 --record");
  EXPECT_EQ(none.exit_code, 1);
  EXPECT_THAT(none.err, HasSubstr("nothing to add, so nothing was recorded"));
  EXPECT_EQ(Log(), before);
}

TEST_F(DoseTest, RecordNeedsARegisteredMaterial) {
  ReadAll();
  const auto none = cellar_.Run("dose sulfite C1 --record");
  EXPECT_EQ(none.exit_code, 1);
  EXPECT_THAT(none.err, HasSubstr("rundlet material new 'potassium metabisulfite'"));
  EXPECT_THAT(Log(), Not(HasSubstr("added")));
  cellar_.Do("dose sulfite C1");  // to look needs none
}

TEST_F(DoseTest, TheMaterialAtHandIsChosen) {
  ReadAll();
  cellar_.Do("material new 'Brightwash sulfite' --kind sulfite --so2 55%");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --record --dry-run").out, HasSubstr("Brightwash sulfite"))
      << "the only one of its kind";
  cellar_.Do("material new 'sodium metabisulfite'");
  const auto several = cellar_.Run("dose sulfite C1");
  EXPECT_EQ(several.exit_code, 1);
  EXPECT_THAT(several.err, AllOf(HasSubstr("Brightwash sulfite"), HasSubstr("sodium metabisulfite"),
                                 HasSubstr("--with")));
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --with 'sodium metabisulfite' --record --dry-run").out,
              HasSubstr("sodium metabisulfite to C1"));
  const auto unknown = cellar_.Run("dose sulfite C1 --with 'sodium metabisulfit'");
  EXPECT_EQ(unknown.exit_code, 1);
  EXPECT_THAT(unknown.err, HasSubstr("sodium metabisulfite"));
  NewSulfite();
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --record --dry-run").out,
              HasSubstr("potassium metabisulfite to C1"))
      << "the one with the usual name";
}

TEST_F(DoseTest, TheRunningTotalOfSulfurDioxide) {
  NewSulfite();
  cellar_.Do("read C1 so2=0mg/L pH=3.4");
  cellar_.Do("dose sulfite C1 --to-free 30 --record");  // 30 / 0.6 = 50 mg/L in all
  cellar_.Advance(absl::Hours(1));
  cellar_.Do("read C1 so2=28mg/L");
  const auto second = cellar_.Do("dose sulfite C1 --to-free 40");  // 12 / 0.6 = 20 mg/L more
  EXPECT_THAT(second.out, HasSubstr("total SO2 then"));
  EXPECT_THAT(second.out, HasSubstr("70 mg/L"));
  // A total that was measured counts before the sum.
  cellar_.Do("read C1 tso2=80mg/L");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40").out, HasSubstr("100 mg/L"));
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40 --total 95").out, HasSubstr("115 mg/L"));
}

TEST_F(DoseTest, AnUnknownTotalIsSaid) {
  cellar_.Do("read C1 so2=20mg/L");
  EXPECT_THAT(cellar_.Do("dose sulfite C1 --to-free 40").err,
              HasSubstr("total SO2 so far is not known"));
}

TEST_F(DoseTest, ALotStandsForTheVesselThatHoldsIt) {
  ReadAll();
  const auto by_vessel = cellar_.Do("dose sulfite C1");
  const auto by_lot = cellar_.Do("dose sulfite 'Orchard White 26'");
  EXPECT_EQ(by_lot.out, by_vessel.out);
  cellar_.Do("rack C1=10L C2");
  const auto two = cellar_.Run("dose sulfite 'Orchard White 26'");
  EXPECT_EQ(two.exit_code, 1);
  EXPECT_THAT(two.err, HasSubstr("C1 and C2"));
}

TEST_F(DoseTest, OtherAdditionsAreRecordedToo) {
  ReadAll();
  cellar_.Do("material new 'tartaric acid' --kind acid");
  EXPECT_THAT(cellar_.Do("dose tartaric C1 --by 0.5 --record").out,
              HasSubstr("added 10 g tartaric acid to C1"));
  cellar_.Do("material new water");
  const auto watered = cellar_.Do("dose water C1 --density 1.100 --to 1.090 --record");
  EXPECT_THAT(watered.out, AllOf(HasSubstr("water to C1"), HasSubstr("C1  20 L")));
}

TEST_F(DoseTest, ASecondDoseAsksForANewReading) {
  ReadAll();
  cellar_.Do("material new 'tartaric acid'");
  cellar_.Do("dose tartaric C1 --to 7 --record");
  const auto again = cellar_.Run("dose tartaric C1 --to 7 --record");
  EXPECT_EQ(again.exit_code, 1);
  EXPECT_THAT(again.err,
              AllOf(HasSubstr("titratable acidity of C1"), HasSubstr("rundlet read C1")));
}

TEST_F(DoseTest, ASulfiteUnderAnotherNameIsKnown) {
  ReadAll();
  cellar_.Do("material new 'Sodium Metabisulphite'");
  const auto added = cellar_.Do("add C1 'Sodium Metabisulphite' 2g");
  EXPECT_THAT(added.err, AllOf(HasSubstr("brings 67 mg/L of SO2"), HasSubstr("asthma")));
  EXPECT_THAT(cellar_.Run("dose sulfite C1").err, HasSubstr("free SO2 of C1 was read"));
  cellar_.Do("material new 'Campden tablets'");
  EXPECT_THAT(cellar_.Do("add C1 'Campden tablets' 2").err, HasSubstr("nobody has said how much"));
  EXPECT_THAT(cellar_.Run("dose sulfite C1 --free 10 --with 'Campden tablets'").err,
              HasSubstr("--tablet 0.44g"));
}

TEST_F(DoseTest, OnlyWhatWouldDoIsTaken) {
  ReadAll();
  cellar_.Do("material new sugar");
  const auto sugar = cellar_.Run("dose sulfite C1 --with sugar --record");
  EXPECT_EQ(sugar.exit_code, 1);
  EXPECT_THAT(sugar.err, HasSubstr("sugar is no potassium metabisulfite"));
  // The salt that was asked for, not the one on the shelf.
  NewSulfite();
  EXPECT_NEAR(FirstAmount(cellar_.Do("dose sulfite C1 --free 0 --to-free 30 --salt sodium")), 1.484,
              0.006);
  EXPECT_THAT(cellar_.Run("dose sulfite C1 --free 0 --to-free 30 --salt sodium --record").err,
              HasSubstr("rundlet material new 'sodium metabisulfite'"));
}

TEST_F(DoseTest, TheRoomUnderTheLawIsShown) {
  ReadAll();
  cellar_.Do("settings change --jurisdictions EU");
  cellar_.Do("lot change 'Orchard White 26' --colour white");
  cellar_.Do("read C1 rs=2g/L");
  const auto inside = cellar_.Do("dose sulfite C1 --to-free 40 --total 60");
  EXPECT_THAT(inside.out, AllOf(HasSubstr("room under EU, "), HasSubstr("(200 mg/L)")));
  EXPECT_THAT(inside.err,
              AllOf(Not(HasSubstr("would be above")), HasSubstr("a ceiling, not a dose")));
  const auto beyond = cellar_.Do("dose sulfite C1 --to-free 40 --total 190");
  EXPECT_THAT(beyond.err, HasSubstr("would be above EU"));
}

TEST_F(DoseTest, SpiritRaisesTheVolume) {
  ReadAll();
  cellar_.Do("material new brandy");
  EXPECT_THAT(cellar_.Do("dose spirit C1 --to 13 --spirit 96 --with brandy --record").out,
              HasSubstr("C1  20 L Orchard White 26 -> 20.2"));
}

TEST_F(DoseTest, RecordingIsOneJsonDocument) {
  ReadAll();
  NewSulfite();
  const auto recorded = cellar_.Do("dose sulfite C1 --record --json");
  google::protobuf::Struct json;
  ASSERT_TRUE(google::protobuf::util::JsonStringToMessage(recorded.out, &json).ok())
      << recorded.out;
  EXPECT_TRUE(json.fields().contains("entry_id"));
  EXPECT_TRUE(json.fields().at("dose").struct_value().fields().contains("figures"));
}

TEST_F(DoseTest, ListsItsSubjects) {
  const auto list = cellar_.Do("dose");
  for (const DoseSubject& subject : AllDoseSubjects())
    EXPECT_THAT(list.out, AllOf(HasSubstr(subject.word), HasSubstr(subject.about)));
  EXPECT_THAT(list.out, AllOf(HasSubstr("blend"), HasSubstr("top")));
}

class DoseBlendTest : public DoseTest {
 protected:
  DoseBlendTest() {
    cellar_.Do("receive juice 10L --into C2 --lot 'Hedge Red 26'");
    cellar_.Do("read C1 abv=11% ta=7g/L");
    cellar_.Do("read C2 abv=14% ta=5g/L");
    cellar_.Advance(absl::Hours(1));
  }
};

TEST_F(DoseBlendTest, ToATarget) {
  // 12 % out of 11 and 14: two parts to one.
  const auto blend = cellar_.Do("dose blend C1 C2 --volume 15L --alcohol 12");
  EXPECT_THAT(blend.out, AllOf(HasSubstr("rundlet blend --from 'C1=10000mL' --from 'C2=5000mL' "
                                         "--to VESSEL --lot NAME"),
                               HasSubstr("12.0 % vol")));
  EXPECT_THAT(blend.out + blend.err, Not(HasSubstr("pH 3")));
}

TEST_F(DoseBlendTest, WhatItSaysToTypeCanBeTyped) {
  const auto blend = cellar_.Do("dose blend C1 C2 --volume 15L --alcohol 12");
  const size_t at = blend.out.find("rundlet blend ");
  ASSERT_NE(at, std::string::npos);
  std::string line = blend.out.substr(at + 8, blend.out.find('\n', at) - at - 8);
  line.replace(line.find("VESSEL"), 6, "C3");
  line.replace(line.find("NAME"), 4, "'Fair Rose 26'");
  EXPECT_THAT(cellar_.Do(line).out, HasSubstr("C3  empty -> 15 L Fair Rose 26"));
}

TEST_F(DoseBlendTest, WithinBoundsAtLeastCost) {
  const auto blend = cellar_.Do(
      "dose blend C1 C2 --volume 10L --alcohol 12..13 --cost C1=2 --cost C2=3.50 --cheapest");
  EXPECT_THAT(blend.out, HasSubstr("12.0 % vol")) << "as much of the cheap one as may be";
  EXPECT_EQ(cellar_.Run("dose blend C1 C2 --volume 10L --alcohol 12 --cost C3=2").exit_code, 2);
}

TEST_F(DoseBlendTest, WhatCannotBeIsSaid) {
  EXPECT_EQ(cellar_.Run("dose blend C1 C2 --volume 15L").exit_code, 2);
  EXPECT_THAT(cellar_.Run("dose blend C1 C2 --volume 15L --sugar 5").err,
              AllOf(HasSubstr("rundlet read C1 rs="), Not(HasSubstr("say it with"))));
  EXPECT_NE(cellar_.Run("dose blend C1 C2 --volume 40L --alcohol 12").exit_code, 0);
  EXPECT_NE(cellar_.Run("dose blend C1 C2 --volume 10L --alcohol 15..16").exit_code, 0);
  EXPECT_THAT(cellar_.Run("dose blend C1 C2=12L --volume 10L --alcohol 12").err,
              HasSubstr("C2 holds 10.0 L and cannot give 12.0 L"));
  const auto slipped = cellar_.Run("dose blend C1 C2 --volume 10L --alcohol 120");
  EXPECT_EQ(slipped.exit_code, 2);
  EXPECT_THAT(slipped.err, HasSubstr("was 12 meant?"));
}

TEST_F(DoseBlendTest, Topping) {
  const auto top = cellar_.Do("dose top C1");
  EXPECT_THAT(top.out, AllOf(HasSubstr("3.0"), HasSubstr("C2")));
  EXPECT_THAT(cellar_.Do("dose top 'Orchard White 26'").out, top.out);
  cellar_.Do("vessel new D1");
  cellar_.Do("rack C2 D1");
  EXPECT_THAT(cellar_.Run("dose top D1").err, HasSubstr("--capacity"));
  EXPECT_THAT(cellar_.Run("dose top C3").err, HasSubstr("holds no wine"));
}

}  // namespace
}  // namespace rundlet::client

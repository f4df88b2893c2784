// Goal: plans are begun, followed and ended by the commands; what is due is told with what blocks
// it and the command that helps; what is wrong with words and files is said. Method: command lines
// run in this process against a real store, over some invented weeks.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/commands/plan_words.h"
#include "client/testing/test_cellar.h"
#include "core/plans/plan_words.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::StartsWith;

constexpr char kOwn[] = R"(# invented
plan: Hedge
step pitch: Yeast
  done by: add
  dose: yeast = 0.25 g/L
  who: Maud Ferrier
step rack: Rack off the lees
  when: 14 days after pitch
  needs: density at most 0.998, 2 readings 2 days apart
  done by: rack
  who: Colm Adeyemi
step taste: Taste it
  when: 1 day after rack
)";

class PlanTest : public ::testing::Test {
 protected:
  PlanTest() {
    cellar_.Do("vessel new C1 C2 --capacity 23L --kind carboy");
    cellar_.Do("material new 'white wine yeast'");
    cellar_.Do("receive juice 20L --into C1 --lot 'Hedge White 26'");
  }
  std::string Write(const std::string& name, const std::string& text) {
    const std::string path = absl::StrCat(dir_.path(), "/", name);
    std::ofstream(path) << text;
    return path;
  }
  void StartOwn() {
    cellar_.Do(absl::StrCat("plan start 'Hedge White 26' --from ", Write("own.plan", kOwn)));
    cellar_.Advance(absl::Minutes(1));
  }
  std::string Do(const std::string& line) { return cellar_.Do(line).out; }
  google::protobuf::Struct Json(const std::string& line) {
    google::protobuf::Struct json;
    const std::string text = Do(line + " --json");
    EXPECT_TRUE(google::protobuf::util::JsonStringToMessage(text, &json).ok()) << text;
    return json;
  }

  TempDir dir_;
  TestCellar cellar_;
};

TEST_F(PlanTest, TemplatesAreListedAndPrinted) {
  EXPECT_THAT(Do("plan templates"), AllOf(HasSubstr("concentrate"), HasSubstr("White from juice"),
                                          HasSubstr("red"), HasSubstr("fruit")));
  const std::string white = Do("plan templates white");
  EXPECT_THAT(white, HasSubstr("plan: White from juice"));
  cellar_.Do(absl::StrCat("plan start 'Hedge White 26' --from ", Write("mine.plan", white)));
  EXPECT_EQ(Json("plan templates").fields().at("templates").list_value().values_size(), 4);
  EXPECT_THAT(cellar_.Run("plan templates wite").err, HasSubstr("write concentrate, white, red"));
}

// What was added already is not offered again, and what the day decides is still asked for.
TEST_F(PlanTest, OffersOnlyWhatIsLeftOfAStep) {
  const std::string plan = R"(# invented
plan: Sweetening
step stabilise: Sulfite and yeast
  done by: add
  dose: potassium metabisulfite = as needed
  dose: yeast = 1 g/L
)";
  cellar_.Do("material new 'potassium metabisulfite'");
  cellar_.Do(absl::StrCat("plan start 'Hedge White 26' --from ", Write("left.plan", plan)));
  cellar_.Advance(absl::Minutes(1));
  EXPECT_THAT(Do("due"), HasSubstr("rundlet add C1 \"white wine yeast\" 20g "
                                   "\"potassium metabisulfite\" AMOUNT"));
  cellar_.Advance(absl::Minutes(1));
  cellar_.Do("add C1 'white wine yeast' 20g");
  EXPECT_THAT(Do("due"), HasSubstr("rundlet add C1 \"potassium metabisulfite\" AMOUNT"));
  cellar_.Advance(absl::Minutes(1));
  cellar_.Do("add C1 'potassium metabisulfite' 1g");
  EXPECT_THAT(Do("due"), HasSubstr("nothing is due"));
}

TEST_F(PlanTest, APlanFollowsTheWork) {
  StartOwn();
  EXPECT_THAT(Do("plan list"),
              AllOf(HasSubstr("Hedge: Hedge White 26"), HasSubstr("0/3"), HasSubstr("pitch, due")));
  EXPECT_THAT(
      Do("due"),
      AllOf(HasSubstr("today  C1"), HasSubstr("Maud Ferrier"), HasSubstr("C1: 5 g yeast"),
            HasSubstr("rundlet add C1 \"white wine yeast\" 5g"), HasSubstr("1 due, 0 blocked")));
  cellar_.Do("add C1 'white wine yeast' 5g");
  EXPECT_THAT(Do("plan show 'Hedge White 26'"),
              AllOf(HasSubstr("pitch  Yeast              done     2026-03-02"),
                    HasSubstr("rack   Rack off the lees  waiting  2026-03-16"),
                    HasSubstr("taste  Taste it           later    about 2026-03-17")));
  EXPECT_THAT(Do("due"), HasSubstr("nothing is due within 7 days"));
  EXPECT_THAT(Do("due --days 15"), HasSubstr("2026-03-16"));

  cellar_.SetClock("2026-03-14T10:00:00+01:00");
  cellar_.Do("read C1 1.004");
  cellar_.SetClock("2026-03-17T10:00:00+01:00");
  EXPECT_THAT(Do("due"),
              AllOf(HasSubstr("since 2026-03-16"), HasSubstr("blocked"),
                    HasSubstr("needs density at most 0.998 SG, 2 readings 2 days apart: last is "
                              "1.004 SG on 2026-03-14"),
                    HasSubstr("rundlet read C1 density=VALUE"), HasSubstr("0 due, 1 blocked")));
  cellar_.Do("read C1 density=0.997");
  EXPECT_THAT(Do("due"), HasSubstr("1 more, not before 2026-03-19 10:00"));
  cellar_.SetClock("2026-03-19T10:00:00+01:00");
  cellar_.Do("read C1 density=0.996");
  EXPECT_THAT(Do("due"), HasSubstr("rundlet rack C1 VESSEL"));
  cellar_.Do("rack C1 C2 --lees 0.5L");
  cellar_.SetClock("2026-03-20T12:00:00+01:00");
  EXPECT_THAT(Do("due"), HasSubstr("rundlet plan done \"Hedge: Hedge White 26\" taste"));
  EXPECT_THAT(Do("plan done 'Hedge: Hedge White 26' taste"), HasSubstr("done: taste of Hedge"));
  EXPECT_THAT(cellar_.Do("plan list").err, HasSubstr("no plan is running"));
  EXPECT_THAT(Do("plan list --all"), HasSubstr("finished"));
  EXPECT_THAT(cellar_.Run("plan done 'Hedge White 26' taste").err, HasSubstr("finished already"));
}

TEST_F(PlanTest, DueIsByPersonAndVessel) {
  StartOwn();
  EXPECT_THAT(Do("due --who 'maud ferrier'"), HasSubstr("Yeast"));
  EXPECT_THAT(Do("due --who 'Colm Adeyemi'"), HasSubstr("nothing is due"));
  EXPECT_THAT(Do("due --vessel c1"), HasSubstr("Yeast"));
  EXPECT_THAT(Do("due --vessel C2"), HasSubstr("nothing is due"));
  EXPECT_EQ(cellar_.Run("due --days soon").exit_code, 2);
}

TEST_F(PlanTest, AllOfItAsJson) {
  StartOwn();
  const auto plan = Json("plan show 'Hedge White 26'").fields();
  EXPECT_EQ(plan.at("state").string_value(), "running");
  EXPECT_EQ(plan.at("lot").string_value(), "Hedge White 26");
  EXPECT_EQ(plan.at("template").string_value(), "own.plan");
  const auto step = plan.at("steps").list_value().values(0).struct_value().fields();
  EXPECT_EQ(step.at("status").string_value(), "due");
  EXPECT_THAT(step.at("due_at").string_value(), StartsWith("2026-03-02T10:00:00"));
  EXPECT_EQ(
      step.at("doses").list_value().values(0).struct_value().fields().at("amount").string_value(),
      "5 g");
  const auto rack = plan.at("steps").list_value().values(1).struct_value().fields();
  EXPECT_EQ(
      rack.at("blocks").list_value().values(0).struct_value().fields().at("command").string_value(),
      "rundlet read C1 density=VALUE");
  EXPECT_EQ(Json("plan list").fields().at("plans").list_value().values_size(), 1);
  EXPECT_EQ(Json("due").fields().at("due").list_value().values_size(), 1);
  EXPECT_NE(Json("plan start 'Hedge White 26' --from white").fields().at("plan_id").string_value(),
            "");
}

TEST_F(PlanTest, StepsAreSkippedShiftedAndSaidDone) {
  StartOwn();
  EXPECT_THAT(cellar_.Do("plan done 'Hedge White 26' taste").err,
              HasSubstr("the step before it, 'rack', is not done yet"));
  EXPECT_THAT(cellar_.Run("plan done 'Hedge White 26' taste").err, HasSubstr("is done already"));
  EXPECT_THAT(cellar_.Do("plan done 'Hedge White 26' rack --dry-run").err,
              HasSubstr("the plan wanted density at most 0.998"));
  EXPECT_EQ(cellar_.Run("plan skip 'Hedge White 26' pitch").exit_code, 2);
  cellar_.Do("plan skip 'Hedge White 26' pitch --reason 'ferments by itself'");
  EXPECT_THAT(Do("plan show 'Hedge White 26'"),
              AllOf(HasSubstr("skipped"), HasSubstr("ferments by itself"),
                    HasSubstr("waiting  2026-03-16")));
  cellar_.Do("plan shift 'Hedge White 26' rack --later 2days");
  EXPECT_THAT(Do("plan show 'Hedge White 26'"), HasSubstr("waiting  2026-03-18"));
  cellar_.Do("plan shift 'Hedge White 26' rack --earlier 1week");
  EXPECT_THAT(Do("plan show 'Hedge White 26'"), HasSubstr("waiting  2026-03-11"));
  for (const char* wrong : {"", " --later 2days --earlier 1day", " --later soon", " --later 0days"})
    EXPECT_EQ(cellar_.Run(absl::StrCat("plan shift 'Hedge White 26' rack", wrong)).exit_code, 2);
  EXPECT_THAT(cellar_.Run("plan done 'Hedge White 26' bake").err,
              HasSubstr("has no step 'bake': write pitch, rack or taste"));
  EXPECT_THAT(Do("plan end 'Hedge White 26' --reason sold"), HasSubstr("ended the plan"));
  EXPECT_THAT(Do("plan show 'Hedge White 26'"), HasSubstr("ended 2026-03-02: sold"));
  EXPECT_THAT(Do("due"), HasSubstr("nothing is due"));
  EXPECT_THAT(cellar_.Run("plan end 'Hedge White 26'").err, HasSubstr("ended already"));
}

TEST_F(PlanTest, WhatWasSaidIsAmendedLikeAllElse) {
  StartOwn();
  const std::string skipped = Do("plan skip 'Hedge White 26' pitch --reason 'no yeast left'");
  const std::string id = skipped.substr(skipped.find("saved as ") + 9, 8);
  cellar_.Do(absl::StrCat("amend ", id, " -- plan skip 'Hedge White 26' pitch --reason wild"));
  EXPECT_THAT(Do("plan show 'Hedge White 26'"), HasSubstr("wild"));
  const std::string ended = Do("plan end 'Hedge White 26'");
  const std::string end_id = ended.substr(ended.find("saved as ") + 9, 8);
  cellar_.Do(absl::StrCat("amend ", end_id, " -- plan end 'Hedge White 26' --reason sold"));
  EXPECT_THAT(Do("plan show 'Hedge White 26'"), HasSubstr(": sold"));
  cellar_.Do(
      absl::StrCat("plan start 'Hedge White 26' --name Late --from ", dir_.path(), "/own.plan"));
  cellar_.Do("plan done Late pitch --at '2 days ago'");
  EXPECT_THAT(Do("plan show Late"), HasSubstr("done     2026-02-28")) << "before it began";
}

TEST_F(PlanTest, WrongBeginningsAreNamed) {
  EXPECT_THAT(cellar_.Run("plan start 'Hedge White 26' --from nowhere").err,
              HasSubstr("no template and no file is called 'nowhere'"));
  EXPECT_THAT(cellar_.Run("plan start 'Nobody' --from white").err,
              HasSubstr("rundlet lot new Nobody"));
  const auto wrong =
      cellar_.Run(absl::StrCat("plan start 'Hedge White 26' --from ",
                               Write("x.plan", "plan: X\nstep a: A\n  when: soon\n")));
  EXPECT_EQ(wrong.exit_code, 2);
  EXPECT_THAT(wrong.err, AllOf(HasSubstr("x.plan"), HasSubstr("line 3: \"soon\"")));
  EXPECT_THAT(cellar_.Run("plan show X").err, HasSubstr("there are no plans yet"));
  StartOwn();
  EXPECT_THAT(cellar_.Run("plan show X").err, HasSubstr("there is 'Hedge: Hedge White 26'"));
  EXPECT_THAT(
      cellar_.Run(absl::StrCat("plan start 'Hedge White 26' --from ", dir_.path(), "/own.plan"))
          .err,
      HasSubstr("is running already"));
  cellar_.Do("plan start 'Hedge White 26' --from white --name Second");
  EXPECT_THAT(cellar_.Run("plan show 'Hedge White 26'").err, HasSubstr("several plans answer"));
  EXPECT_THAT(Do("plan show second"), HasSubstr("Second, for Hedge White 26"));
}

TEST_F(PlanTest, APlanIsPrintedAsAFileToBeginOthersFrom) {
  StartOwn();
  cellar_.Do("vessel new C3");
  cellar_.Do("receive juice 10L --into C3 --lot Other");
  const std::string text = Do("plan show 'Hedge White 26' --as-file");
  cellar_.Do(absl::StrCat("plan start Other --name Again --from ", Write("again.plan", text)));
  EXPECT_THAT(Do("plan show Again"), HasSubstr("C3: 2.5 g yeast"));
}

TEST_F(PlanTest, TheCalendarIsAFileOfItsOwn) {
  StartOwn();
  const std::string path = dir_.path() + "/cellar.ics";
  EXPECT_THAT(Do("plan calendar " + path), HasSubstr("wrote 3 steps to "));
  std::stringstream text;
  text << std::ifstream(path).rdbuf();
  EXPECT_THAT(text.str(), AllOf(HasSubstr("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"),
                                HasSubstr("DTSTART;VALUE=DATE:20260302\r\n"),
                                HasSubstr("SUMMARY:C1 (Hedge White 26): Yeast\r\n")));
  EXPECT_EQ(Json("plan calendar " + path).fields().at("events").number_value(), 3);
  EXPECT_EQ(cellar_.Run("plan calendar " + dir_.path() + "/no/such/dir/x.ics").exit_code, 1);
}

TEST_F(PlanTest, TwoDevicesShowTheSamePlan) {
  StartOwn();
  cellar_.Do("add C1 'white wine yeast' 5g");
  TestCellar other(2);
  other.Pull(cellar_);
  EXPECT_EQ(other.Do("plan show 'Hedge White 26'").out, Do("plan show 'Hedge White 26'"));
}

TEST_F(PlanTest, EveryTreatmentOfAPlanIsOneOfTheCommands) {
  for (const std::string& word : plans::AllActWords()) {
    const std::vector<std::string> words = absl::StrSplit(word, ' ');
    if (words.size() == 2) cellar_.Do(absl::StrCat("treat C1 ", words[1], " --dry-run"));
  }
}

TEST_F(PlanTest, NamesAreQuotedForTheShell) {
  EXPECT_EQ(ShellWord("C1"), "C1");
  EXPECT_EQ(ShellWord("a b"), "\"a b\"");
  EXPECT_EQ(ShellWord("a\"$`\\"), "\"a\\\"\\$\\`\\\\\"");
  EXPECT_EQ(ShellWord(""), "\"\"");
}

}  // namespace
}  // namespace rundlet::client

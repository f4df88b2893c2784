// Goal: plans as text say what they say, come back as they were written, and what is wrong in them
// is named with its line and with what to write instead. Method: small files by hand; the built-in
// ones read, printed and read again, and written as entries.
#include "core/plans/plan_text.h"

#include <gmock/gmock.h>
#include <google/protobuf/util/message_differencer.h>
#include <gtest/gtest.h>

#include "core/entry/entry.h"
#include "core/plans/plan_words.h"
#include "core/plans/templates.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::plans {
namespace {

using google::protobuf::util::MessageDifferencer;
using ::testing::HasSubstr;
using ::testing::SizeIs;

constexpr char kSmall[] = R"(# For the reader of the file.
plan: Hedge white

Step pitch: Stir the yeast in
  Done by: add
  dose: white wine yeast = 0.25 g/L
  dose: tannin = 3 g
  mind: At about 20 C.
  mind: Air the room.

step rack-1: Rack off the lees
  when: 2 weeks after pitch
  needs: density at most 0,998 SG, 2 readings 2 days apart
  needs: pH at least 3.2
  done by: rack
  who: Maud Ferrier
step turn: Turn it
  when: 36h after start
  done by: treat turn
step look: Look at it
)";

std::string ErrorOf(const std::string& text) {
  const auto plan = ParsePlan(text);
  EXPECT_EQ(plan.status().code(), absl::StatusCode::kInvalidArgument) << text;
  return std::string(plan.status().message());
}
std::string ErrorOfLine(const std::string& line) {
  return ErrorOf("plan: P\nstep one: One\nstep two: Two\n  " + line + "\n");
}

TEST(PlanTextTest, SaysWhatItSays) {
  const auto plan = ParsePlan(kSmall);
  ASSERT_TRUE(plan.ok()) << plan.status();
  EXPECT_EQ(plan->name(), "Hedge white");
  ASSERT_THAT(plan->steps(), SizeIs(4));

  const v1::PlanStep& pitch = plan->steps(0);
  EXPECT_EQ(pitch.act(), v1::STEP_ACT_ADD);
  EXPECT_EQ(pitch.after_key(), "");
  EXPECT_EQ(pitch.text(), "At about 20 C.\nAir the room.");
  ASSERT_THAT(pitch.doses(), SizeIs(2));
  EXPECT_EQ(pitch.doses(0).material(), "white wine yeast");
  // 0.25 g in a litre is a quarter of a microgram in a microlitre.
  EXPECT_EQ(pitch.doses(0).base() * 4, pitch.doses(0).per_ul());
  EXPECT_EQ(pitch.doses(1).base(), 3'000'000);
  EXPECT_EQ(pitch.doses(1).per_ul(), 0);

  const v1::PlanStep& rack = plan->steps(1);
  EXPECT_EQ(rack.after_key(), "pitch");
  EXPECT_EQ(rack.after_hours(), 14 * 24);
  EXPECT_EQ(rack.person(), "Maud Ferrier");
  ASSERT_THAT(rack.gates(), SizeIs(2));
  EXPECT_EQ(rack.gates(0).at_most_micro(), 998'000);
  EXPECT_EQ(rack.gates(0).readings(), 2);
  EXPECT_EQ(rack.gates(0).apart_hours(), 48);
  EXPECT_EQ(rack.gates(1).at_least_micro(), 3'200'000);
  EXPECT_EQ(rack.gates(1).readings(), 0);

  EXPECT_EQ(plan->steps(2).after_key(), "");
  EXPECT_EQ(plan->steps(2).after_hours(), 36);
  EXPECT_EQ(plan->steps(2).treatment(), v1::TREATMENT_KIND_TURNING);
  EXPECT_EQ(plan->steps(3).after_key(), "turn") << "after the step before it";
  EXPECT_EQ(plan->steps(3).act(), v1::STEP_ACT_UNSPECIFIED);
}

TEST(PlanTextTest, ComesBackAsItWasWritten) {
  std::vector<std::string> texts = {kSmall};
  for (const TemplateText& text : Templates()) texts.emplace_back(text.text);
  ASSERT_THAT(texts, SizeIs(5));
  for (const std::string& text : texts) {
    const auto plan = ParsePlan(text);
    ASSERT_TRUE(plan.ok()) << plan.status();
    const std::string printed = PrintPlan(*plan);
    const auto again = ParsePlan(printed);
    ASSERT_TRUE(again.ok()) << again.status() << "\n" << printed;
    EXPECT_TRUE(MessageDifferencer::Equals(*plan, *again)) << printed;
    EXPECT_EQ(PrintPlan(*again), printed);
  }
}

TEST(PlanTextTest, DosesComeBackExactly) {
  for (const char* dose : {"oak = 1 oz/5gal", "tablet = 1 per gal", "bentonite = 20 g/hL",
                           "silica sol = 0.333333 mL/L", "oak = 1 oz", "sulfite = 50 ppm"}) {
    const auto read = ParseDose(dose);
    ASSERT_TRUE(read.ok()) << read.status();
    const auto again = ParseDose(read->material() + " = " + FormatDose(*read));
    ASSERT_TRUE(again.ok()) << again.status() << " of " << FormatDose(*read);
    EXPECT_TRUE(MessageDifferencer::Equals(*read, *again)) << dose << " as " << FormatDose(*read);
  }
}

TEST(PlanTextTest, EveryWordOfAnActComesBack) {
  for (const std::string& word : AllActWords()) {
    const auto act = ReadActWord(word);
    ASSERT_TRUE(act.has_value()) << word;
    EXPECT_EQ(ActWord(act->act, act->treatment), word);
  }
  EXPECT_EQ(ActWord(v1::STEP_ACT_UNSPECIFIED, v1::TREATMENT_KIND_UNSPECIFIED), "");
}

TEST(PlanTextTest, BuiltInPlansPassTheCheckOfEntries) {
  testing::TestDevice phone("phone");
  for (const TemplateText& text : Templates()) {
    v1::Entry draft;
    *draft.mutable_plan_started() = *ParsePlan(text.text);
    draft.mutable_plan_started()->set_plan_id(testing::IdOf(text.name).ToBytes());
    draft.mutable_plan_started()->set_lot_id(testing::IdOf("Elder").ToBytes());
    const WrittenEntry written = phone.Write(draft);
    EXPECT_TRUE(CheckEntry(written.entry).ok());
  }
}

TEST(PlanTextTest, AWaitIsWholeHoursDaysOrWeeks) {
  EXPECT_EQ(*ParseWait("36h"), 36);
  EXPECT_EQ(*ParseWait("1 day"), 24);
  EXPECT_EQ(*ParseWait("2 Weeks"), 336);
  EXPECT_EQ(FormatWait(24), "1 day");
  EXPECT_EQ(FormatWait(36), "36 hours");
  for (const char* wrong :
       {"", "days", "3 months", "1.5 days", "-2 days", "2000 days", "9999999999 weeks"})
    EXPECT_FALSE(ParseWait(wrong).ok()) << wrong;
}

TEST(PlanTextTest, WhatIsWrongIsNamedWithItsLine) {
  EXPECT_THAT(ErrorOfLine("when: soon"), HasSubstr("line 4: \"soon\" does not say after what"));
  EXPECT_THAT(ErrorOfLine("when: 3 days after three"),
              HasSubstr("line 4: no step above this one is called \"three\""));
  EXPECT_THAT(ErrorOfLine("when: 3 days after two"), HasSubstr("no step above this one"));
  EXPECT_THAT(ErrorOfLine("when: 3 moons after one"), HasSubstr("hours, days or weeks"));
  EXPECT_THAT(ErrorOfLine("done by: dance"), HasSubstr("write one of add, rack,"));
  EXPECT_THAT(ErrorOfLine("needs: density under 0.998"), HasSubstr("density at most 0.998"));
  EXPECT_THAT(ErrorOfLine("needs: density at most 9.98"), HasSubstr("line 4: "));
  EXPECT_THAT(ErrorOfLine("needs: density at most 0.998, twice"), HasSubstr("2 readings 2 days"));
  EXPECT_THAT(ErrorOfLine("needs: mood at most 3"), HasSubstr("line 4: "));
  EXPECT_THAT(ErrorOfLine("dose: 3 g"), HasSubstr("white wine yeast = 0.25 g/L"));
  EXPECT_THAT(ErrorOfLine("dose: yeast = some"), HasSubstr("such as 0.25 g/L"));
  EXPECT_THAT(ErrorOfLine("dosis: yeast = 3 g"), HasSubstr("nothing is called \"dosis\" here"));
  EXPECT_THAT(ErrorOfLine("rack it"), HasSubstr("has no colon"));
  EXPECT_THAT(ErrorOfLine("who:"), HasSubstr("something is missing behind 'who:'"));
  EXPECT_THAT(ErrorOfLine("who: A\nwho: B"), HasSubstr("line 5: this step has a line 'who:'"));
  EXPECT_THAT(ErrorOfLine("step one: Again"), HasSubstr("there is a step 'one' already"));
  EXPECT_THAT(ErrorOfLine("step Rack It: Rack"), HasSubstr("a short key of small letters"));
  EXPECT_THAT(ErrorOfLine("step start: Begin"), HasSubstr("a short key"));
  EXPECT_THAT(ErrorOfLine("step three:"), HasSubstr("say in a few words what is done"));
  EXPECT_THAT(ErrorOfLine("plan: Another"), HasSubstr("has its name already"));
  EXPECT_THAT(ErrorOfLine("mind: \xff"), HasSubstr("UTF-8"));
  EXPECT_THAT(ErrorOf(""), HasSubstr("plan: White from juice"));
  EXPECT_THAT(ErrorOf("plan: P\n"), HasSubstr("step pitch: Add the yeast"));
  EXPECT_THAT(ErrorOf("plan: P\nwhen: after start\n"), HasSubstr("line 2: this belongs to a step"));
}

TEST(PlanTextTest, AllThatIsWrongIsSaidAtOnce) {
  const std::string error = ErrorOfLine("when: soon\n\n# fine\ndone by: dance\nmind: fine");
  EXPECT_THAT(error, HasSubstr("line 4: "));
  EXPECT_THAT(error, HasSubstr("\nline 7: "));
  std::string many = "plan: P\n";
  for (int i = 0; i < 50; ++i) many += "nothing\n";
  EXPECT_EQ(std::count(many.begin(), many.end(), '\n'), 51);
  const std::string first_ten = ErrorOf(many);
  EXPECT_EQ(std::count(first_ten.begin(), first_ten.end(), '\n'), 9);
}

TEST(PlanTextTest, FilesOfOtherSystemsAreRead) {
  const auto plan = ParsePlan("\xEF\xBB\xBFplan: P\r\nstep one: One\r\n  done by: rack\r\n");
  ASSERT_TRUE(plan.ok()) << plan.status();
  EXPECT_EQ(plan->steps(0).title(), "One");
  EXPECT_EQ(plan->steps(0).act(), v1::STEP_ACT_RACK);
}

}  // namespace
}  // namespace rundlet::plans

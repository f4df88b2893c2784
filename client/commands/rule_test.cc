// Goal: a cellar lists the rules, reads one, changes it, has rules of its own and lets one go, by
// the commands; and a text that is no rule is refused with its place. Method: command lines run in
// this process against a real store of the invented circle.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/base/exit_code.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kNoBentonite[] = R"(id: "no-bentonite"
severity: SEVERITY_STOP
text: "{thing}: {what} is not used here"
reason: "The circle agreed to let its wines clear by themselves."
lifted_by: "nothing"
presence { groups: "bentonite" }
)";

class RuleTest : public ::testing::Test {
 protected:
  RuleTest() {
    cellar_.Do("vessel new C1 --capacity 23L");
    cellar_.Do("material new bentonite");
    cellar_.Do("receive juice --into C1=20L --lot 'Harrow White'");
  }
  // The path of a file with that text.
  std::string File(const std::string& name, const std::string& text) {
    std::string path = absl::StrCat(dir_.path(), "/", name);
    std::ofstream(path) << text;
    return path;
  }
  TestCellar cellar_;
  TempDir dir_;
};

TEST_F(RuleTest, TheyAreListedAndShown) {
  EXPECT_THAT(cellar_.Do("rule list").out,
              AllOf(HasSubstr("bottling-not-stable"), HasSubstr("stop"), HasSubstr("BURST")));
  EXPECT_THAT(cellar_.Do("rule list --json").out,
              AllOf(HasSubstr("\"rule_id\":\"so2-past-limit\",\"severity\":\"warn\""),
                    HasSubstr("\"dropped\":[]")));
  const std::string shown = cellar_.Do("rule show fining-degassed-first").out;
  EXPECT_THAT(shown, AllOf(HasSubstr("id: \"fining-degassed-first\""),
                           HasSubstr("treatments: TREATMENT_KIND_DEGASSING"),
                           HasSubstr("source: \"common practice, no source\"")));
  const auto none = cellar_.Run("rule show fining-degased-first");
  EXPECT_EQ(none.exit_code, kExitError);
  EXPECT_THAT(none.err, HasSubstr("is it fining-degassed-first?"));
}

TEST_F(RuleTest, ARuleOfTheHouseStopsAndIsDropped) {
  const auto set = cellar_.Do(absl::StrCat("rule set ", File("house.textproto", kNoBentonite)));
  EXPECT_THAT(set.out + set.err, AllOf(HasSubstr("a new rule, stop"), HasSubstr("saved as")));
  EXPECT_THAT(cellar_.Do("rule list").out, HasSubstr("(of the house)"));
  const auto stopped = cellar_.Run("add C1 bentonite 10g");
  EXPECT_EQ(stopped.exit_code, kExitError);
  EXPECT_THAT(stopped.err, HasSubstr("stop: C1: bentonite is not used here (no-bentonite)"));
  EXPECT_THAT(cellar_.Run("rule drop no-bentonite").err, HasSubstr("--reason"));
  cellar_.Do("rule drop no-bentonite --reason 'the haze stayed'");
  cellar_.Do("add C1 bentonite 10g");
  EXPECT_THAT(cellar_.Do("rule list").out, Not(HasSubstr("no-bentonite")));
  EXPECT_THAT(cellar_.Do("log").out, HasSubstr("the haze stayed"));
  EXPECT_THAT(cellar_.Run("rule drop no-bentonite --reason again").err,
              HasSubstr("there is no rule 'no-bentonite'"));
}

TEST_F(RuleTest, OneOfTheProgramIsChangedLetGoAndTakenBack) {
  const std::string shown = cellar_.Do("rule show vessel-over-capacity").out;
  const std::string path =
      File("mine.textproto", absl::StrReplaceAll(shown, {{"SEVERITY_WARN", "SEVERITY_STOP"}}));
  const auto set = cellar_.Do(absl::StrCat("rule set ", path));
  EXPECT_THAT(set.out + set.err, HasSubstr("in the place of the rule of that name"));
  EXPECT_THAT(cellar_.Run("receive juice --into C1=9L --lot 'Harrow White'").err,
              HasSubstr("stop: C1 then holds 29 L"));
  cellar_.Do("rule drop vessel-over-capacity --reason 'the sizes are guesses'");
  EXPECT_THAT(cellar_.Do("rule list").out,
              HasSubstr("let go in this cellar: vessel-over-capacity"));
  EXPECT_THAT(cellar_.Run("rule drop vessel-over-capacity --reason again").err,
              HasSubstr("counts no longer already"));
  EXPECT_THAT(cellar_.Do("receive juice --into C1=9L --lot 'Harrow White'").err,
              Not(HasSubstr("vessel-over-capacity")));
  cellar_.Do(absl::StrCat(
      "rule set ", File("back.textproto", cellar_.Do("rule show vessel-over-capacity").out)));
  EXPECT_THAT(cellar_.Do("check").out, HasSubstr("C1 then holds 29 L"));
}

// Nobody who checks is left to think that a stop was looked for.
TEST_F(RuleTest, AStopThatWasLetGoIsCautionedAndToldAtEachCheck) {
  EXPECT_THAT(cellar_.Run("rule drop bottling-not-stable --reason ' '").exit_code, kExitUsage);
  EXPECT_THAT(cellar_.Do("rule drop bottling-not-stable --reason 'only an example'").err,
              HasSubstr("it keeps people from harm"));
  EXPECT_THAT(cellar_.Do("check").out,
              HasSubstr("not checked, as this cellar let it go: bottling-not-stable"));
}

TEST_F(RuleTest, WhatIsNoRuleIsRefusedWithItsPlace) {
  const auto refused = [&](absl::string_view from, absl::string_view to) {
    const std::string path = File("bad.textproto", absl::StrReplaceAll(kNoBentonite, {{from, to}}));
    const auto result = cellar_.Run(absl::StrCat("rule set ", path));
    EXPECT_EQ(result.exit_code, kExitUsage);
    return result.err;
  };
  EXPECT_THAT(refused("severity:", "severty:"), HasSubstr("bad.textproto:2:8"));
  EXPECT_THAT(refused("SEVERITY_STOP", "LOUD"), HasSubstr("bad.textproto:3:1: Unknown enum"));
  EXPECT_THAT(refused("groups: \"bentonite\"", "groups: \"clay\""),
              AllOf(HasSubstr("there is no group 'clay'"), HasSubstr("bentonite, ")));
  EXPECT_THAT(refused("{what}", "{amount}"), HasSubstr("not {amount}"));
  EXPECT_THAT(cellar_.Run("rule set /nowhere.textproto").err, HasSubstr("/nowhere.textproto"));
  EXPECT_THAT(cellar_.Do("rule list --json").out, Not(HasSubstr("no-bentonite")));
}

TEST_F(RuleTest, HowWarmTheWaterWasIsWrittenWithAnAddition) {
  const auto cold = cellar_.Do("add C1 bentonite 10g --mixed-in 200mL --mixed-at 20C --dry-run");
  EXPECT_THAT(cold.err, HasSubstr("bentonite was stirred into water of 20 °C; under 50 °C"));
  EXPECT_THAT(cold.out, HasSubstr("20 L Harrow White -> 20.2 L Harrow White"));
  EXPECT_THAT(cellar_.Do("add C1 bentonite 10g --mixed-in 200mL --mixed-at 140F").err,
              Not(HasSubstr("stirred into water")));
  EXPECT_THAT(cellar_.Run("add C1 bentonite 1g bentonite 2g --mixed-at 60C").err,
              HasSubstr("about one material"));
  EXPECT_THAT(cellar_.Run("add C1 bentonite 1g --mixed-at hot").err, HasSubstr("write 60C"));
}

TEST_F(RuleTest, WhatALotIsAndATabletWeighsChangesWhatIsFound) {
  cellar_.Do("settings change --jurisdictions EU");
  cellar_.Do("material new 'campden tablets'");
  EXPECT_THAT(cellar_.Do("add C1 'campden tablets' 20pcs").err,
              HasSubstr("note: C1: campden tablets is in it, and no ceiling counts it"));
  EXPECT_THAT(cellar_.Do("check").out, HasSubstr("what a piece of it weighs (--unit-mass)"));
  cellar_.Do("material change 'campden tablets' --unit-mass 0.44g --so2 57.6%");
  EXPECT_THAT(cellar_.Do("check C1").out,  // 253.4 mg/L
              AllOf(HasSubstr("warn  C1: 253.5 mg/L of total sulfur dioxide"),
                    HasSubstr("the highest that may apply"), Not(HasSubstr("--unit-mass"))));
  cellar_.Do("lot change 'Harrow White' --for home");
  EXPECT_THAT(cellar_.Do("check C1").out,
              AllOf(HasSubstr("note  C1: 253.5 mg/L"), HasSubstr("advice for yours")));
  cellar_.Do("lot change 'Harrow White' --for sale --style sparkling --fruit grape --organic yes");
  EXPECT_THAT(cellar_.Do("check --json").out, HasSubstr("eu-organic-so2-sparkling"));
}

TEST_F(RuleTest, ADryRunSavesNothing) {
  cellar_.Do(absl::StrCat("rule set ", File("house.textproto", kNoBentonite), " --dry-run"));
  EXPECT_THAT(cellar_.Do("rule list").out, Not(HasSubstr("no-bentonite")));
}

}  // namespace
}  // namespace rundlet::client

// Goal: a shell is offered what can stand in a place, and nothing else; every option says what it
// takes. Method: the command that shells call, on a small invented cellar, and the command table.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/cli/bash_line.h"
#include "client/cli/describe.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class CompleteTest : public ::testing::Test {
 protected:
  CompleteTest() {
    cellar_.Do("vessel new C1 C2 'Old Barrel' --capacity 23L");
    cellar_.Do("receive juice 20L --into C1 --lot 'Harrow White'");
    cellar_.Do("packet new 'white wine yeast' --name YW-1 --amount 20g");
    cellar_.Do("bin new 'Rack A'");
  }

  // The values that are offered for the last of the words.
  std::vector<std::string> Offered(const std::string& words) {
    std::vector<std::string> values;
    const std::string out = cellar_.Do("complete fish -- " + words).out;
    for (const absl::string_view line : absl::StrSplit(out, '\n', absl::SkipEmpty()))
      values.emplace_back(line.substr(0, line.find('\t')));
    return values;
  }
  std::string ForBash(const std::string& line) {
    return cellar_.Do(absl::StrCat("complete bash -- '", line, "'")).out;
  }

  TestCellar cellar_;
};

TEST_F(CompleteTest, CommandsAndTheirSecondWords) {
  EXPECT_THAT(Offered("rec"), ElementsAre("receive", "reckon", "recall"));
  EXPECT_THAT(Offered("plan s"), ElementsAre("start", "show", "skip", "shift"));
  EXPECT_THAT(Offered("reckon mole"), ElementsAre("molecular"));
  EXPECT_THAT(Offered("help ti"), ElementsAre("times"));
  EXPECT_THAT(Offered("comple"), ElementsAre("completion")) << "what people do not call is hidden";
}

TEST_F(CompleteTest, WhatTheBookHasByName) {
  EXPECT_THAT(Offered("read ''"), ElementsAre("C1", "C2", "Old Barrel", "Harrow White"));
  EXPECT_THAT(Offered("read old"), ElementsAre("Old Barrel")) << "in any case of letters";
  EXPECT_THAT(Offered("put X 1 --into ''"), ElementsAre("Rack A"));
  EXPECT_THAT(Offered("add C1 ''"), ElementsAre("white wine yeast"));
  EXPECT_THAT(Offered("add C1 sugar ''"), IsEmpty()) << "an amount";
  EXPECT_THAT(Offered("add C1 sugar 5g ''"), ElementsAre("white wine yeast"));
  EXPECT_THAT(Offered("vessel retire C"), ElementsAre("C1", "C2"));
  cellar_.Do("vessel retire C2");
  EXPECT_THAT(Offered("vessel retire C"), ElementsAre("C1"));
}

TEST_F(CompleteTest, ANameThatWantsAnAmountKeepsTheWordOpen) {
  EXPECT_THAT(Offered("blend --from C"), ElementsAre("C1=", "C2="));
  EXPECT_THAT(Offered("rack C"), ElementsAre("C1", "C2")) << "all of it will do";
  EXPECT_THAT(ForBash("rundlet blend --from C"), ":more\nC1=\nC2=\n");
}

TEST_F(CompleteTest, OptionsOnceAndChoices) {
  EXPECT_THAT(Offered("rack C1 --le"), ElementsAre("--lees"));
  EXPECT_THAT(Offered("rack C1 --lees 1L --le"), IsEmpty()) << "said already";
  EXPECT_THAT(Offered("rack C1 --to C2=5L --t"), ElementsAre("--to")) << "as often as needed";
  EXPECT_THAT(Offered("lot new X --style sp"), ElementsAre("sparkling"));
  EXPECT_THAT(Offered("lot new X --style=sp"), ElementsAre("--style=sparkling"));
  EXPECT_THAT(Offered("trace f"), ElementsAre("forward"));
  EXPECT_THAT(cellar_.Do("complete zsh -- export ''").out, HasSubstr(":files"));
}

TEST_F(CompleteTest, EntriesStepsRulesAndTheCommandOfAnAmendment) {
  EXPECT_EQ(Offered("void ''").size(), 9u);
  cellar_.Do("plan start 'Harrow White' --from white --name Harrow");
  EXPECT_THAT(Offered("plan skip Harrow sett"), ElementsAre("settle"));
  EXPECT_THAT(Offered("plan start 'Harrow White' --from re"), ElementsAre(":files", "red"));
  EXPECT_THAT(Offered("rule show fining-a"), Contains("fining-allergen"));
  EXPECT_THAT(Offered("amend abc -- rack C"), ElementsAre("C1", "C2"));
}

TEST_F(CompleteTest, WithoutABookThereIsSilence) {
  cellar_.env().variable = [](const std::string&) { return std::string(); };
  EXPECT_THAT(Offered("read ''"), IsEmpty());
  const auto result = cellar_.Run("complete bash -- 'rundlet read '");
  EXPECT_EQ(result.exit_code, 0);
  EXPECT_EQ(result.out + result.err, "");
  EXPECT_THAT(Offered("rec"), Not(IsEmpty()));
}

TEST_F(CompleteTest, BashGetsWhatReadlinePutsIn) {
  EXPECT_EQ(ForBash("rundlet read O"), "Old\\ Barrel\n");
  EXPECT_EQ(ForBash("rundlet read \"O"), "Old Barrel\n") << "inside a quote";
  EXPECT_EQ(ForBash("rundlet read Old\\ B"), "Old\\ Barrel\n");
  EXPECT_EQ(ForBash("rundlet receive juice --lot=Ha"), "Harrow\\ White\n") << "'=' ends a word";
}

TEST(BashLineTest, ReadsQuotesAndBreaks) {
  const BashLine line = ReadBashLine("rundlet  note 'a b' \"c\\\"d\" e\\ f --lot=\"Har");
  EXPECT_THAT(line.words, ElementsAre("rundlet", "note", "a b", "c\"d", "e f", "--lot=Har"));
  EXPECT_EQ(line.kept, "--lot=");
  EXPECT_EQ(line.Replacement("--lot=Har $x"), "Har \\$x");
  EXPECT_THAT(ReadBashLine("rundlet ").words, ElementsAre("rundlet", ""));
  EXPECT_THAT(ReadBashLine("").words, ElementsAre(""));
}

// Every kind of value that is written in capitals, so that help names the same thing alike.
TEST(CommandTableTest, EveryWordSaysWhatItTakes) {
  const std::set<std::string> known = {
      // completed
      "VESSEL", "LOT", "BOTTLING", "BIN", "OCCASION", "MATERIAL", "PACKET", "GEAR", "MEMBER",
      "THING", "PLAN", "STEP", "TEMPLATE", "RULE", "ENTRY", "FILE", "DIRECTORY", "COMMAND",
      "SUBJECT",
      // shown
      "AMOUNT", "CAUSE", "CODE", "CODES", "COUNT", "DAY", "DENSITY", "DEVICE", "DURATION", "HEX",
      "HOST:PORT", "LINE", "MASS", "NAME", "NUMBER", "PERCENT", "RANGE", "RATE", "REASON", "SUM",
      "TEMPERATURE", "TEXT", "TIME", "VALUE", "VOLUME", "YEAR"};
  for (const CommandSpec& spec : AllCommands()) {
    for (const manual::Word& word : DescribeCommand(spec).words) {
      EXPECT_NE(word.about, "") << spec.name << " " << word.names;
      for (const absl::string_view turn : absl::StrSplit(word.takes, ' ', absl::SkipEmpty())) {
        for (absl::string_view kind : absl::StrSplit(turn, '|')) {
          const std::string name(kind.substr(0, kind.find_first_of("[=")));
          const bool literal = name == absl::AsciiStrToLower(name);
          EXPECT_TRUE(literal || known.contains(name))
              << spec.name << " " << word.names << " " << kind;
        }
      }
    }
  }
}

}  // namespace
}  // namespace rundlet::client

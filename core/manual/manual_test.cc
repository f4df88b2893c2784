// Goal: one description of a command reads well as help and as a manual page.
// Method: a small invented page, printed; the roff is given to real readers in completion_test.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/manual/page.h"

namespace rundlet::manual {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

Verb Stir() {
  return {.command = "tool stir",
          .about = "the vessel is stirred",
          .words = {{.names = "vessel", .takes = "VESSEL", .about = "which", .required = true},
                    {.names = "-m, --minutes",
                     .takes = "NUMBER",
                     .about = "how long it is stirred, with a lid on it or without",
                     .otherwise = "5",
                     .option = true},
                    {.names = "--gear", .takes = "GEAR", .option = true, .repeats = true}}};
}

TEST(ManualTest, TheSynopsisMarksWhatMayBeLeftOut) {
  EXPECT_EQ(Synopsis(Stir()), "tool stir [OPTION ...] vessel");
  EXPECT_EQ(Synopsis({.command = "tool list",
                      .words = {{.names = "--of", .takes = "LOT", .option = true, .required = true},
                                {.names = "names", .takes = "NAME", .repeats = true}}}),
            "tool list --of LOT [names ...]");
}

TEST(ManualTest, HelpKeepsToTheWidth) {
  EXPECT_EQ(PrintHelp(Stir(), 50),
            "the vessel is stirred\n"
            "\n"
            "  tool stir [OPTION ...] vessel\n"
            "\n"
            "  vessel VESSEL         which\n"
            "\n"
            "  -m, --minutes NUMBER  how long it is stirred,\n"
            "                        with a lid on it or\n"
            "                        without (5)\n"
            "  --gear GEAR ...       \n");
  EXPECT_THAT(PrintHelp(Stir(), 0), HasSubstr("with a lid on it or without (5)\n"));
}

TEST(ManualTest, NothingInATextIsACommandToRoff) {
  const std::string roff = PrintRoff({.name = "tool-stir",
                                      .about = ".hidden \\fB'words'",
                                      .verbs = {Stir()},
                                      .sections = {{.title = "Files", .text = ".one\n\n  .two -x"}},
                                      .see_also = {"tool(1)", "tool-list(1)"}},
                                     "tool 1", "2026-01-01");
  EXPECT_THAT(roff, HasSubstr(".TH TOOL\\-STIR 1 2026-01-01 \"tool 1\"\n"));
  EXPECT_THAT(roff, HasSubstr("\\&.hidden \\efB\\(aqwords\\(aq\n"));
  EXPECT_THAT(roff, HasSubstr("\n\\&.one\n"));
  EXPECT_THAT(roff, HasSubstr("\n\\&.two \\-x\n"));
  EXPECT_THAT(roff, HasSubstr("\\fB\\-m, \\-\\-minutes\\fR \\fINUMBER\\fR\n"));
  EXPECT_THAT(roff, HasSubstr(".BR tool (1),\n.BR tool\\-list (1)\n"));
  EXPECT_THAT(roff, Not(HasSubstr(".SS")));
}

}  // namespace
}  // namespace rundlet::manual

// Goal: bash, zsh and fish complete what is written, with our scripts; man and its relatives read
// our pages without a word of complaint.
// Method: the real shells and readers, the real client, an invented book. bash and zsh run
// interactively on a pseudo-terminal (zpty, of zsh), where Tab is pressed and the line that comes
// of it is looked at.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdio.h>
#include <stdlib.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"

namespace rundlet::testing {
namespace {

using ::testing::HasSubstr;

struct Result {
  int status = 0;
  std::string out;
};

Result Sh(const std::string& command) {
  Result result;
  FILE* pipe = popen(absl::StrCat("{ ", command, "\n} 2>&1").c_str(), "r");
  if (pipe == nullptr) return {.status = -1, .out = "popen"};
  char buffer[4096];
  while (const size_t got = fread(buffer, 1, sizeof(buffer), pipe)) result.out.append(buffer, got);
  result.status = pclose(pipe);
  return result;
}

// Presses keys in an interactive shell, and prints its line when Control-X is pressed at last.
// $1: how to start the shell; $2: its first line, which ends by touching $READY; $3: the keys.
constexpr char kTypist[] = R"(
zmodload zsh/zpty zsh/zselect || exit 3
wait_for() {
  local output tries=0
  until [[ -e $1 ]]; do
    zpty -r -t shell output
    (( ++tries < 12000 )) || { print -r -- "no $1"; exit 4 }
    zselect -t 1
  done
}
zpty -b shell "$1"
zpty -w shell "$2"
wait_for $READY
zpty -w -n shell "$3"$'\x18'
wait_for $LINE.done
zpty -d shell
cat $LINE
)";

class ShellsTest : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string pattern =
        (std::filesystem::temp_directory_path() / "rundlet-shells-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    dir_ = pattern;
    setenv("RUNDLET_HOME", (dir_ + "/book").c_str(), 1);
    setenv("RUNDLET_AUTOSYNC", "off", 1);
    setenv("PATH", absl::StrCat(RUNDLET_BIN, ":", getenv("PATH")).c_str(), 1);
    setenv("HOME", dir_.c_str(), 1);
    setenv("READY", (dir_ + "/ready").c_str(), 1);
    setenv("LINE", (dir_ + "/line").c_str(), 1);
    setenv("TERM", "xterm", 1);
    const Result made =
        Sh("set -e\n"
           "rundlet init 'Thistledown Wine Circle' --member 'Maud Ferrier' --device test\n"
           "rundlet vessel new C1 D1 'Old Barrel' --capacity 23L\n"
           "rundlet receive juice 20L --into C1 --lot 'Harrow White'");
    ASSERT_EQ(made.status, 0) << made.out;
    std::ofstream(dir_ + "/typist") << kTypist;
  }
  void TearDown() override { std::filesystem::remove_all(dir_); }

  // The line after the keys were pressed.
  std::string Typed(const std::string& shell, const std::string& first_line,
                    const std::string& keys) {
    std::filesystem::remove(dir_ + "/ready");
    std::filesystem::remove(dir_ + "/line.done");
    const Result typed = Sh(absl::StrCat("zsh -f ", dir_, "/typist '", shell, "' '", first_line,
                                         "; : > $READY' '", keys, "'"));
    EXPECT_EQ(typed.status, 0) << typed.out;
    return typed.out;
  }
  std::string InBash(const std::string& keys) {
    return Typed("bash --norc --noprofile -i",
                 "unset HISTFILE; source <(rundlet completion bash); show() { printf %s "
                 "\"$READLINE_LINE\" > $LINE; "
                 ": > $LINE.done; }; bind -x \"\\\"\\C-x\\\": show\"",
                 keys);
  }
  std::string InZsh(const std::string& keys) {
    return Typed("zsh -f -i",
                 "autoload -Uz compinit; compinit -u -D; source <(rundlet completion zsh); "
                 "show() { print -rn -- \"$BUFFER\" > $LINE; : > $LINE.done }; zle -N show; "
                 "bindkey \"^X\" show",
                 keys);
  }

  std::string dir_;
};

TEST_F(ShellsTest, BashInAScript) {
  const Result replies =
      Sh("bash --norc -c '\n"
         "source <(rundlet completion bash)\n"
         "COMP_LINE=\"rundlet read \" COMP_POINT=13 COMP_WORDS=(rundlet read \"\") COMP_CWORD=2\n"
         "_rundlet\n"
         "printf \"%s\\n\" \"${COMPREPLY[@]}\"'");
  EXPECT_EQ(replies.out, "C1\nD1\nOld\\ Barrel\nHarrow\\ White\n");
}

TEST_F(ShellsTest, BashOnATerminal) {
  EXPECT_EQ(InBash("rundlet rece\t"), "rundlet receive ");
  EXPECT_EQ(InBash("rundlet read O\t"), "rundlet read Old\\ Barrel ");
  EXPECT_EQ(InBash("rundlet read \"O\t"), "rundlet read \"Old Barrel\" ");
  EXPECT_EQ(InBash("rundlet blend --from D\t"), "rundlet blend --from D1=");
  EXPECT_EQ(InBash("rundlet receive juice --lot=H\t"),
            "rundlet receive juice --lot=Harrow\\ White ");
}

TEST_F(ShellsTest, ZshOnATerminal) {
  EXPECT_EQ(InZsh("rundlet rece\t"), "rundlet receive ");
  EXPECT_EQ(InZsh("rundlet read O\t"), "rundlet read Old\\ Barrel ");
  EXPECT_EQ(InZsh("rundlet read \"O\t"), "rundlet read \"Old Barrel\" ");
  EXPECT_EQ(InZsh("rundlet blend --from D\t"), "rundlet blend --from D1=");
}

TEST_F(ShellsTest, Fish) {
  const auto in_fish = [](const std::string& line) {
    return Sh(absl::StrCat("fish --no-config -c 'rundlet completion fish | source; complete -C \"",
                           line, "\"'"))
        .out;
  };
  EXPECT_EQ(in_fish("rundlet rece"), "receive\tjuice, must, fruit or wine came in\n");
  EXPECT_THAT(in_fish("rundlet read "), HasSubstr("Old Barrel\tvessel, empty\n"));
  EXPECT_THAT(in_fish("rundlet read "), HasSubstr("C1\t20 L of Harrow White\n"));
  EXPECT_EQ(in_fish("rundlet blend --from D"), "D1=\tvessel, empty\n");
}

TEST_F(ShellsTest, ThereIsSilenceWithoutABook) {
  setenv("RUNDLET_HOME", (dir_ + "/nothing").c_str(), 1);
  EXPECT_EQ(InBash("rundlet read O\t"), "rundlet read O");
}

TEST_F(ShellsTest, ReadersOfTheManualHaveNothingToComplainOf) {
  const std::string pages = dir_ + "/man";
  std::filesystem::create_directory(pages);
  ASSERT_EQ(Sh("rundlet manual --to " + pages).status, 0);
  ASSERT_EQ(Sh("rundletd manual > " + pages + "/rundletd.8").status, 0);
  int count = 0;
  for (const auto& page : std::filesystem::directory_iterator(pages)) {
    ++count;
    const std::string file = page.path();
    EXPECT_EQ(Sh("mandoc -T lint -W warning " + file).out, "") << file;
    EXPECT_EQ(Sh("groff -man -Tutf8 -ww -z " + file).out, "") << file;
  }
  EXPECT_GT(count, 60);
  EXPECT_THAT(Sh("man -l " + pages + "/rundlet-rack.1 | col -b").out,
              HasSubstr("rundlet-rack - wine off its lees"));
}

}  // namespace
}  // namespace rundlet::testing

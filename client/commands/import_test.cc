// Goal: a cellar can leave and come back whole, what is damaged is named and not taken, and an old
// log comes in once, all of it or nothing. Method: command lines in this process, on files that are
// damaged byte by byte or line by line.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "client/base/file.h"
#include "client/cli/run.h"
#include "client/commands/import_mapping.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class ImportTest : public ::testing::Test {
 protected:
  ImportTest() {
    cellar_.Do("vessel new C1 C2 --capacity 25L");
    cellar_.Do("receive juice 20L --into C1 --lot Harrow --at 2025-10-01");
    cellar_.Do("rack C1 C2 --lees 1L --at 2025-11-02 --note 'quotes \" and \\ and é'");
  }

  std::string Path(absl::string_view name) const { return absl::StrCat(dir_.path(), "/", name); }
  std::string Write(absl::string_view name, absl::string_view text) const {
    std::ofstream(Path(name), std::ios::binary) << text;
    return Path(name);
  }
  static std::string Read(const std::string& path) {
    return ReadFile(path).value_or("(no such file)");
  }
  // A command on the book that was imported.
  std::string RunOn(const std::string& home, const std::vector<std::string>& words) {
    Environment env = cellar_.env();
    std::ostringstream out, err;
    env.out = &out;
    env.err = &err;
    env.variable = [&](const std::string& name) {
      return name == "RUNDLET_HOME" ? home : std::string();
    };
    EXPECT_EQ(rundlet::client::Run(words, env), 0) << err.str();
    return out.str();
  }

  TempDir dir_;
  TestCellar cellar_;
};

TEST_F(ImportTest, AnArchiveBecomesABookWithTheSameDigest) {
  const std::string file = Path("cellar.jsonl");
  EXPECT_THAT(cellar_.Do("export " + file).out, HasSubstr("5 entries"));
  EXPECT_EQ(cellar_.Do("export -").out, Read(file));
  EXPECT_THAT(Read(file), HasSubstr("\"racking\""));
  EXPECT_THAT(cellar_.Do("import cellar " + file + " --into " + Path("copy")).out,
              HasSubstr("5 entries"));
  EXPECT_EQ(RunOn(Path("copy"), {"digest"}), cellar_.Do("digest").out);
  EXPECT_EQ(RunOn(Path("copy"), {"log", "--json"}), cellar_.Do("log --json").out)
      << "every word is there, notes and times of writing too";
  EXPECT_EQ(RunOn(Path("copy"), {"export", "-"}), Read(file)) << "and it can leave again";
  EXPECT_EQ(cellar_.Run("import cellar " + file + " --into " + Path("copy")).exit_code, 1);
}

TEST_F(ImportTest, ADamagedOrCutArchiveIsNamedByItsLineAndNotTaken) {
  const std::string whole = cellar_.Do("export -").out;
  const auto refused = [&](const std::string& text, const std::string& why) {
    const std::string file = Write("damaged.jsonl", text);
    const auto result = cellar_.Run("import cellar " + file + " --into " + Path("none"));
    EXPECT_NE(result.exit_code, 0) << why;
    EXPECT_THAT(result.err, HasSubstr(why));
    EXPECT_FALSE(FileExists(Path("none")));
    for (const auto& left : std::filesystem::directory_iterator(dir_.path()))
      EXPECT_EQ(left.path().filename(), "damaged.jsonl");
  };
  std::vector<std::string> lines = absl::StrSplit(whole, '\n', absl::SkipEmpty());
  ASSERT_EQ(lines.size(), 6u);
  refused(absl::StrReplaceAll(whole, {{"\"bytes\":\"C", "\"bytes\":\"D"}}),
          "line 2: it is damaged");
  refused(absl::StrCat(lines[0], "\n", lines[1], "\n", lines[2], "\n"),
          "line 4: the file ends before it: 2 of 5");
  refused(whole.substr(0, whole.size() - 20), "line 6: it is cut short");
  refused(absl::StrCat(lines[0], "\n", lines[1], "\n", lines[1], "\n"),
          "line 3: the entry was there before");
  refused(absl::StrReplaceAll(whole, {{"rundlet cellar", "something else"}}), "line 1: this is no");
  refused("", "empty");
  // Every single byte that is turned in an entry's line is seen, or does no harm to what is taken.
  const size_t begin = lines[0].size() + 1;
  for (size_t at = begin; at < begin + lines[1].size(); at += 7) {
    std::string turned = whole;
    turned[at] = static_cast<char>(turned[at] ^ 1);
    const std::string into = Path(absl::StrCat("turned-", at));
    const auto result =
        cellar_.Run("import cellar " + Write("turned.jsonl", turned) + " --into " + into);
    if (result.exit_code == 0) {
      EXPECT_EQ(RunOn(into, {"export", "-"}), whole) << "byte " << at;
    } else {
      EXPECT_THAT(result.err, HasSubstr("line 2:")) << "byte " << at;
    }
  }
}

constexpr char kMapping[] = R"(
# The old log of the (invented) Thistledown Wine Circle.
separator: ;
day: {Date}
day-order: dmy
time: {At}
kind: {Done}
line came in: receive {What} {Litres}L --into {Vessel} --lot {Lot}
line racked: rack {Vessel} {Into} --lees {Litres}L --note {Remark}
line read: read {Vessel} density={SG} temp={Temp}C
line sulphited: add {Vessel} "potassium metabisulfite" {Grams}g
line *: note {Vessel} --note {Remark}
skip: holiday
)";

constexpr char kLog[] =
    "Date;At;Done;What;Vessel;Into;Litres;SG;Temp;Grams;Lot;Remark\r\n"
    "05.11.2024;;Racked;;C1;C2;0,5;;;;;\"off the lees; clear\"\r\n"
    "01.10.2024;;Came in;juice;C1;;20;;;;Fenwick;\r\n"
    "03.10.2024;18:30;Read;;C1;;;1.085;21;;;\r\n"
    "04.10.2024;;Read;;C1;;;1.060;;;;\r\n"
    "24.12.2024;;Holiday;;;;;;;;;\r\n"
    "06.11.2024;;Sulphited;;C2;;;;;1,2;;\r\n"
    "07.11.2024;;Tasted;;C2;;;;;;;- thin, but clean\r\n";

class ImportLogTest : public ImportTest {
 protected:
  ImportLogTest() { cellar_.Do("material new 'potassium metabisulfite'"); }
  std::string Line(absl::string_view log, absl::string_view more = "") const {
    return absl::StrCat("import log ", Write("log.csv", log), " --mapping ",
                        Write("mapping.txt", kMapping), more);
  }
};

TEST_F(ImportLogTest, LinesBecomeEntriesInTheOrderOfTheirDays) {
  EXPECT_THAT(cellar_.Do(Line(kLog, " --dry-run")).out, HasSubstr("would take 6 lines"));
  EXPECT_THAT(cellar_.Do("log --all").out, Not(HasSubstr("Fenwick")));
  EXPECT_THAT(cellar_.Do(Line(kLog)).out,
              AllOf(HasSubstr("took 6 lines as 7 entries"), HasSubstr("1 were to be skipped")));
  const std::string log = cellar_.Do("log --all").out;
  EXPECT_THAT(log, AllOf(HasSubstr("2024-10-03 18:30"), HasSubstr("1.085 SG"),
                         HasSubstr("(off the lees; clear)"), HasSubstr("- thin, but clean")));
  EXPECT_THAT(cellar_.Do("held").out, Not(HasSubstr("line")));
  EXPECT_THAT(cellar_.Do("report inventory --on 2024-12-31").out,
              AllOf(HasSubstr("C2"), HasSubstr("19.5 L"), HasSubstr("Fenwick")));
}

TEST_F(ImportLogTest, ADayThatCannotBeReadIsToldInTermsOfTheMapping) {
  const std::string command =
      absl::StrCat("import log ", Write("log.csv", "D,V\nspring,C1\n"), " --mapping ",
                   Write("mapping.txt", "day: {D}\nline *: note {V} --note x\n"));
  EXPECT_THAT(cellar_.Run(command).err, HasSubstr("line 2: 'spring' is no day that can be read"));
}

TEST_F(ImportLogTest, TheSameLinesAreTakenOnce) {
  cellar_.Do(Line(kLog));
  const std::string digest = cellar_.Do("digest").out;
  EXPECT_THAT(cellar_.Do(Line(kLog)).out,
              AllOf(HasSubstr("took 0 lines as 0 entries"), HasSubstr("6 were here already")));
  EXPECT_EQ(cellar_.Do("digest").out, digest);
  const std::string longer = absl::StrCat(kLog, "08.11.2024;;Tasted;;C2;;;;;;;better\r\n",
                                          "08.11.2024;;Tasted;;C2;;;;;;;better\r\n");
  EXPECT_THAT(cellar_.Do(Line(longer)).out,
              AllOf(HasSubstr("took 2 lines"), HasSubstr("6 were here already")))
      << "lines that say the same are two when they stand there twice";
}

TEST_F(ImportLogTest, OneBadLineAndNothingIsTaken) {
  const std::string digest = cellar_.Do("digest").out;
  const auto refused = [&](absl::string_view line, absl::string_view why) {
    const auto result = cellar_.Run(Line(absl::StrCat(kLog, line, "\r\n")));
    EXPECT_EQ(result.exit_code, 2) << line;
    EXPECT_THAT(result.err, AllOf(HasSubstr("line 9: "), HasSubstr(std::string(why)),
                                  HasSubstr("Nothing was taken")));
    EXPECT_EQ(cellar_.Do("digest").out, digest);
  };
  refused("09.11.2024;;Read;;C9;;;1.000;;;;", "C9");
  refused("09.11.2024;;Racked;;C1;C2;;;;;;", "C1");
  refused("31.02.2024;;Tasted;;C2;;;;;;;x", "2024-02-31");
  refused("2024-11-09;;Tasted;;C2;;;;;;;x", "2024-11-09");
  refused("09.11.2024;;Tasted;;C2;;;;;;", "11 fields");
  refused("09.11.2024;;Sulphited;;C2;;;;;many;;", "many");
  refused("09.11.2024;;Tasted;;--json;;;;;;;x", "begins with a dash");
  refused("09.11.2034;;Tasted;;C2;;;;;;;x", "2034");
}

TEST_F(ImportLogTest, ALineThatDoesNotFitIsRefusedUnlessAskedFor) {
  const std::string log = absl::StrCat(kLog, "02.10.2024;;Racked;;C1;C2;30;;;;;x\r\n");
  EXPECT_NE(cellar_.Run(Line(log)).exit_code, 0);
  EXPECT_EQ(cellar_.Run(Line(log, " --even-held")).exit_code, 0);
}

// The block of the manual that stands after a line that begins with `name`.
std::string BlockOfManual(absl::string_view name) {
  const std::string page = ReadFile(RUNDLET_SOURCE_DIR "/docs/import.md").value_or("");
  const size_t at = page.find(absl::StrCat("\n`", name, "`"));
  const size_t begin = page.find("```\n", at) + 4;
  return page.substr(begin, page.find("```", begin) - begin);
}

TEST_F(ImportLogTest, TheExampleOfTheManualWorks) {
  const std::string log = Write("log.csv", BlockOfManual("log.csv"));
  const std::string mapping = Write("mapping.txt", BlockOfManual("mapping.txt"));
  EXPECT_THAT(cellar_.Do(absl::StrCat("import log ", log, " --mapping ", mapping)).out,
              AllOf(HasSubstr("took 5 lines as 6 entries"), HasSubstr("1 were to be skipped")));
}

TEST(MappingTest, NamesTheLineOfWhatItCannotRead) {
  const auto why = [](absl::string_view text) {
    return std::string(LogMapping::Read(text).status().message());
  };
  EXPECT_THAT(why("day: {D}\nwhatever"), HasSubstr("mapping, line 2: write 'key: value'"));
  EXPECT_THAT(why("colour: red"), HasSubstr("'colour' is no key"));
  EXPECT_THAT(why("day: {D"), HasSubstr("brace"));
  EXPECT_THAT(why("line a: note \"x"), HasSubstr("quote"));
  EXPECT_THAT(why("line a: note"), HasSubstr("lacks 'day"));
  EXPECT_THAT(why("day: {D}"), HasSubstr("lacks a line"));
  EXPECT_THAT(why("day: {D}\nline a: note"), HasSubstr("lacks 'kind"));
  EXPECT_THAT(why("separator: |"), HasSubstr(", or ; or tab"));
}

TEST(MappingTest, EmptyColumnsTakeTheirWordAndItsOptionAway) {
  auto mapping =
      LogMapping::Read("day: {D}\nline *: read {V} density={SG} --with {Gear} --note \"a {N}\"");
  ASSERT_TRUE(mapping.ok()) << mapping.status();
  EXPECT_THAT(mapping->Bind({"D", "V"}).message(), HasSubstr("{SG}"));
  ASSERT_TRUE(mapping->Bind({"D", "V", "SG", "Gear", "N"}).ok());
  const auto said = mapping->Apply({"2024-01-01", "C 1", "1.080", "-x", "b"});
  ASSERT_TRUE(said.ok()) << said.status();
  EXPECT_THAT(said->words,
              ElementsAre("read", "C 1", "density=1.080", "--with=-x", "--note", "a b"));
  EXPECT_THAT(mapping->Apply({"2024-01-01", "C 1", "", "", "b"})->words,
              ElementsAre("read", "C 1", "--note", "a b"));
  EXPECT_THAT(mapping->Apply({"2024-01-01", "C 1", "", "", ""})->words, ElementsAre("read", "C 1"));
}

}  // namespace
}  // namespace rundlet::client

// Goal: every subject of `rundlet reckon` answers a sensible question and refuses a senseless one
// with a word of what is wrong, without a cellar. Method: command lines in this process, in an
// environment that has no book; what stands in JSON is read back with the protobuf parser.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>
#include <set>
#include <sstream>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/cli/run.h"
#include "client/numbers/subject.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class ReckonTest : public ::testing::Test {
 protected:
  // Words split at spaces; '_' stands for a space within a word.
  TestCellar::Result Run(absl::string_view line) {
    std::ostringstream out, err;
    Environment env;
    env.out = &out;
    env.err = &err;
    env.clock = [] { return absl::FromUnixSeconds(1'772'442'000); };
    env.variable = [this](const std::string& name) {
      return name == "RUNDLET_HOME" ? no_book_ : std::string();
    };
    std::vector<std::string> words = absl::StrSplit(line, ' ');
    for (std::string& word : words) std::replace(word.begin(), word.end(), '_', ' ');
    words.insert(words.begin(), "reckon");
    TestCellar::Result result;
    result.exit_code = rundlet::client::Run(words, env);
    result.out = out.str();
    result.err = err.str();
    return result;
  }

  TempDir dir_;
  const std::string no_book_ = dir_.path() + "/none";
};

// A question of each subject and way, and the figure that comes first.
const std::multimap<std::string, std::string>& Sensible() {
  static const auto* const kAll = new std::multimap<std::string, std::string>{
      {"scales 1.090", "specific gravity"},
      {"scales 22Brix", "specific gravity"},
      {"scales 12,5Be --baume gerlach", "specific gravity"},
      {"scales 90Oe", "specific gravity"},
      {"scales 1090kg/m3", "specific gravity"},
      {"potential 22Brix", "potential alcohol"},
      {"hydrometer 1.090 --temperature 76F", "corrected gravity"},
      {"hydrometer 1.060 --temperature 25C --made-for 60F", "corrected gravity"},
      {"hydrometer 0.994 --temperature 15C --alcohol 12.5%", "corrected gravity"},
      {"refractometer 10 --gravity 1.000", "alcohol"},
      {"refractometer 10 --original 22", "gravity"},
      {"refractometer 20 --fortified 5", "alcohol"},
      {"refractometer 22 --temperature 77F", "corrected reading"},
      {"alcohol --from 1.095 --to 0.996", "alcohol"},
      {"alcohol --from 23Brix --to -1.5Brix --extract 28g/L", "alcohol"},
      {"distillate --density 980", "alcohol at 20 C"},
      {"distillate --alcohol 40 --temperature 77F", "density"},
      {"sugar-left --gravity 1.002 --alcohol 12.5%", "sugar left"},
      {"energy --alcohol 12.5 --sugar 4 --acid 6 --glycerol 8", "energy per 100 mL"},
      {"wine-density --density 992.5 --so2 110", "density without sulfur dioxide"},
      {"molecular --free 30 --ph 3.4", "molecular SO2"},
      {"molecular --free 30ppm --ph pH3,4 --temperature 68F --alcohol 13%", "molecular SO2"},
      {"molecular --free 30 --ph 3.4 --pk 1.81", "molecular SO2"},
      {"free --molecular 0.8 --ph 3.4", "free SO2 needed"},
      {"acidity 6.2g/L", "as tartaric acid"},
      {"acidity 4 --as sulfuric", "as tartaric acid"},
      {"titration --base 10.4mL --normality 0.1 --sample 10mL", "as tartaric acid"},
      {"fermentation 23L --sugar 220", "carbon dioxide in all"},
      {"fermentation 5gal --sugar 220g/L --room 30m3 --temperature 68F --peak 30% --limit 5000",
       "carbon dioxide in all"},
      {"gas --temperature 15C", "held by the wine"},
      {"cylinder --diameter 60cm --depth 35cm --height 80cm", "wine"},
      {"cylinder --diameter 24in --depth 35 --length 0.8m", "wine"},
      {"barrel --bung 69cm --head 56cm --length 90cm", "barrel"},
      {"barrel --bung 69 --head 56 --length 90 --depth 600mm", "wine"},
      {"make-up --brix 68 --volume 23L --concentrate 7L", "to measure out: concentrate"},
      {"make-up --brix 68Brix --volume 23L --to 1.090", "to measure out: concentrate"},
      {"bottles 23L", "bottles"},
      {"bottles 5gal --size 375mL", "bottles"},
  };
  return *kAll;
}

TEST_F(ReckonTest, EverySubjectAnswers) {
  std::set<std::string> asked;
  for (const auto& [line, first] : Sensible()) {
    asked.insert(line.substr(0, line.find(' ')));
    const auto plain = Run(line);
    EXPECT_EQ(plain.exit_code, 0) << line << "\n" << plain.err;
    EXPECT_TRUE(absl::StartsWith(plain.out, first)) << line << "\n" << plain.out;
    const auto explained = Run(absl::StrCat(line, " --explain"));
    EXPECT_THAT(explained.out, AllOf(HasSubstr("How it came about"), HasSubstr("It rests on")))
        << line;
    for (const auto& text : {plain.out, explained.out}) {
      for (const absl::string_view word :
           absl::StrSplit(text, absl::ByAnyChar(" \n,()=:"), absl::SkipEmpty())) {
        const std::string lower = absl::AsciiStrToLower(word);
        EXPECT_FALSE(lower == "nan" || lower == "-nan" || lower == "inf" || lower == "-inf")
            << line << "\n"
            << text;
      }
    }
  }
  for (const Subject& subject : AllSubjects())
    EXPECT_TRUE(asked.contains(subject.word)) << subject.word << " is not tried";
}

TEST_F(ReckonTest, EverySubjectSpeaksJson) {
  for (const auto& [line, first] : Sensible()) {
    const auto result = Run(absl::StrCat(line, " --json"));
    google::protobuf::Struct json;
    ASSERT_TRUE(google::protobuf::util::JsonStringToMessage(result.out, &json).ok()) << line << "\n"
                                                                                     << result.out;
    EXPECT_EQ(result.err, "") << "warnings are part of the JSON";
    const auto& figures = json.fields().at("figures").list_value();
    ASSERT_GT(figures.values_size(), 0) << line;
    for (const auto& figure : figures.values()) {
      const auto& fields = figure.struct_value().fields();
      EXPECT_TRUE(std::isfinite(fields.at("value").number_value())) << line;
      EXPECT_FALSE(fields.at("label").string_value().empty()) << line;
    }
    EXPECT_GT(json.fields().at("working").list_value().values_size(), 0) << line;
    EXPECT_GT(json.fields().at("equations").list_value().values_size(), 0) << line;
  }
}

TEST_F(ReckonTest, EverySubjectRefusesNonsense) {
  // What cannot be meant, and a part of what is said about it.
  const std::multimap<std::string, std::string> kNonsense = {
      {"scales 10.40", "1.040 SG"},
      {"scales 1.090 --baume greek", "us, dutch, gerlach, french"},
      {"potential banana", "write one number"},
      {"hydrometer 10.90 --temperature 20C", "1.090 SG"},
      {"hydrometer 1.090 --temperature 760F", "76 °F"},
      {"refractometer 220 --original 24", "was 22 meant?"},
      {"refractometer 10", "--gravity by the hydrometer"},
      {"alcohol --from 1.000 --to 1.050", "the wrong way round?"},
      {"alcohol --from 1.100 --to 0.996 --extract 250", "was 25 meant?"},
      {"alcohol --from 1.100", "--to is required"},
      {"distillate --density 98", "was 980 meant?"},
      {"distillate --alcohol 400", "was 40 meant?"},
      {"distillate", "--density in kg/m3, or --alcohol"},
      {"sugar-left --gravity 1.002 --alcohol 125", "was 12.5 meant?"},
      {"energy --alcohol 125", "was 12.5 meant?"},
      {"wine-density --density 99 --so2 100", "was 990 meant?"},
      {"molecular --free 30 --ph 34", "pH 3.40"},
      {"molecular --free -30 --ph 3.4", "outside 0 to"},
      {"molecular --free 30g --ph 3.4", "mg/L, ppm, g/hL, g/L"},
      {"free --molecular 80 --ph 3.4", "was 0.8 meant?"},
      {"acidity 620", "was 6.2 meant?"},
      {"acidity 6.2 --as oxalic", "tartaric, sulfuric"},
      {"titration --base 10.4 --normality 0.1 --sample 10mL", "has no unit"},
      {"titration --base 10.4mL --normality 10 --sample 10mL", "was 1 meant?"},
      {"fermentation 23L --sugar 2200", "was 220 meant?"},
      {"gas --temperature 95C", "outside 0 to 40 C"},
      {"cylinder --diameter 60cm --depth 350cm --height 80cm", "was 35 meant?"},
      {"cylinder --diameter 60cm --depth 35cm", "--height of one that stands"},
      {"barrel --bung 690 --head 56 --length 90", "was 69 meant?"},
      {"barrel --bung 50 --head 56 --length 90", "outside 56 to"},
      {"make-up --brix 68 --volume 23L", "--concentrate"},
      {"bottles -5L", "less than nothing"},
      {"bottles 23L --size 7500L", "outside 20 to"},
  };
  std::set<std::string> asked;
  for (const auto& [line, said] : kNonsense) {
    asked.insert(line.substr(0, line.find(' ')));
    const auto result = Run(line);
    EXPECT_EQ(result.exit_code, 2) << line << "\n" << result.out;
    EXPECT_EQ(result.out, "") << line;
    EXPECT_THAT(result.err, AllOf(HasSubstr("rundlet: "), HasSubstr(said))) << line;
  }
  for (const Subject& subject : AllSubjects())
    EXPECT_TRUE(asked.contains(subject.word)) << subject.word << " is not tried";
}

TEST_F(ReckonTest, WhatIsSaidAndEmptyIsNotZero) {
  // As a script writes it whose variable is unset.
  for (const char* line :
       {"molecular --free  --ph 3.4", "bottles ", "energy --alcohol ", "acidity 6.2 --as ",
        "molecular --free 30 --ph 3.4 --alcohol ", "gas --temperature "}) {
    const auto result = Run(line);
    EXPECT_EQ(result.exit_code, 2) << line << "\n" << result.out;
    EXPECT_EQ(result.out, "") << line;
  }
  EXPECT_THAT(Run("molecular --free  --ph 3.4").err, HasSubstr("--free"));
}

TEST_F(ReckonTest, ListsItsSubjects) {
  const auto list = Run("");
  EXPECT_EQ(list.exit_code, 2) << "an empty word is no subject";
  std::ostringstream out, err;
  Environment env;
  env.out = &out;
  env.err = &err;
  EXPECT_EQ(rundlet::client::Run({"reckon"}, env), 0);
  for (const Subject& subject : AllSubjects())
    EXPECT_THAT(out.str(), AllOf(HasSubstr(subject.word), HasSubstr(subject.about)));
}

TEST_F(ReckonTest, UnknownSubjectsAreGuessedAt) {
  const auto near = Run("alcool --from 1.095 --to 0.996");
  EXPECT_EQ(near.exit_code, 2);
  EXPECT_THAT(near.err, AllOf(HasSubstr("'alcool'"), HasSubstr("did you mean alcohol?")));
  const auto stray = Run("--json");
  EXPECT_EQ(stray.exit_code, 2);
  EXPECT_THAT(stray.err, HasSubstr("--json goes with a subject"));
  EXPECT_THAT(Run("zzz").err, AllOf(HasSubstr("'zzz'. All subjects: rundlet reckon"),
                                    Not(HasSubstr("did you mean"))));
}

TEST_F(ReckonTest, NoBookIsNeededAndNoneIsMade) {
  EXPECT_EQ(Run("alcohol --from 1.095 --to 0.996").exit_code, 0);
  EXPECT_FALSE(std::filesystem::exists(no_book_));
  EXPECT_TRUE(std::filesystem::is_empty(dir_.path()));
}

TEST_F(ReckonTest, TheSourceAndItsStandingAreSaid) {
  const auto free = Run("free --molecular 0.8 --ph 3.4 --explain");
  EXPECT_THAT(free.out, AllOf(HasSubstr("OIV-MA-AS323-04C"), HasSubstr("(read in the source)")));
  EXPECT_THAT(free.err, HasSubstr("12 % vol"));  // what was taken for want of a reading
  EXPECT_THAT(Run("scales 12Be --baume french --explain").out, HasSubstr("from memory"));
}

}  // namespace
}  // namespace rundlet::client

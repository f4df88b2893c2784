// Goal: what is written can be read again, whatever is in it, and what is broken is named by its
// line. Method: fields that are hard, fixed and random; texts as other programs write them.
#include "core/reports/csv.h"

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::reports {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using Fields = std::vector<std::string>;

TEST(CsvTest, QuotesWhatNeedsIt) {
  EXPECT_EQ(CsvLine({"a", "b c", ""}), "a,b c,\r\n");
  EXPECT_EQ(CsvLine({"a,b", "say \"no\"", "two\nlines"}),
            "\"a,b\",\"say \"\"no\"\"\",\"two\nlines\"\r\n");
  EXPECT_EQ(CsvLine({""}), "\"\"\r\n");
}

TEST(CsvTest, ReadsWhatItWrote) {
  testing::Random random(testing::FirstSeed());
  constexpr absl::string_view kSigns = "ab,;\"\r\n é";
  for (int round = 0; round < 500; ++round) {
    std::string text;
    std::vector<Fields> written;
    for (int64_t n = random.Between(1, 4); n > 0; --n) {
      Fields fields(random.Between(1, 4));
      for (std::string& field : fields) {
        for (int64_t i = random.Between(0, 6); i > 0; --i)
          field += kSigns[random.Between(0, kSigns.size() - 1)];
      }
      text += CsvLine(fields);
      written.push_back(fields);
    }
    const auto read = ReadCsv(text);
    ASSERT_TRUE(read.ok()) << read.status() << "\n" << text;
    ASSERT_EQ(read->size(), written.size()) << text;
    for (size_t i = 0; i < written.size(); ++i) EXPECT_EQ((*read)[i].fields, written[i]) << text;
  }
}

TEST(CsvTest, ReadsWhatOtherProgramsWrite) {
  const auto parted = ReadCsv(
      "\xef\xbb\xbf"
      "day;what\n\n2024-01-02;\"a\nb\"\r\n;last",
      ';');
  ASSERT_TRUE(parted.ok()) << parted.status();
  ASSERT_EQ(parted->size(), 3u);
  EXPECT_THAT((*parted)[1].fields, ElementsAre("2024-01-02", "a\nb"));
  EXPECT_EQ((*parted)[1].line, 3) << "an empty line counts, and is left out";
  EXPECT_THAT((*parted)[2].fields, ElementsAre("", "last"));
  EXPECT_EQ((*parted)[2].line, 5) << "a field over two lines counts as two";
}

TEST(CsvTest, NamesTheLineOfWhatIsBroken) {
  EXPECT_THAT(ReadCsv("a,b\r\nc,\"d\r\ne,f\r\n").status().message(),
              HasSubstr("line 2: a quote is opened here and never closed"));
  EXPECT_THAT(ReadCsv("a\r\nb \"c\"\r\n").status().message(), HasSubstr("line 2: a quote stands"));
  EXPECT_THAT(ReadCsv("\"a\"b\r\n").status().message(), HasSubstr("line 1: something stands"));
  EXPECT_TRUE(ReadCsv("").ok());
}

}  // namespace
}  // namespace rundlet::reports

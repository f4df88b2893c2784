// Goal: reports say what the book holds, in three formats that agree. Method: command lines in this
// process, on a season of an invented circle small enough to add up by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "absl/strings/str_split.h"
#include "client/testing/test_cellar.h"
#include "core/reports/csv.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;

class ReportTest : public ::testing::Test {
 protected:
  ReportTest() {
    cellar_.Do("vessel new C1 C2 --capacity 25L");
    cellar_.Do("bin new 'Rack A'");
    cellar_.Do(
        "packet new 'potassium metabisulfite' --name KMS-1 --code 77-104 --supplier 'Pell & "
        "Rook Supplies' --amount 100g --at 2025-09-01");
    cellar_.Do("lot new Harrow --colour white --vintage 2025 --fruit grape --made-from Riesling");
    cellar_.Do("settings change --jurisdictions EU");
    cellar_.Do(
        "receive juice 20L --into C1 --lot Harrow --at 2025-10-01 --supplier 'Harrow Lane' "
        "--supplier-lot HL-9");
    cellar_.Do("rack C1 C2 --lees 1L --at 2025-11-02");
    cellar_.Do("add C2 'potassium metabisulfite' 1.9g --at 2026-01-10");
    cellar_.Do("read C2 alcohol=12.3% rs=2g/L ta=6g/L so2=30mg/L --at '2026-01-12 14:00'");
    cellar_.Do("treat C2 filter --at 2026-02-01");
    cellar_.Do(
        "bottle C2 --size 750mL --count 24 --bin 'Rack A' --run H25 --lot-code L25H1 "
        "--loss rest --at 2026-02-02");
    cellar_.Do("take H25 5 --from 'Rack A' --reason sold --at 2026-02-10");
    cellar_.Do("take H25 1 --from 'Rack A' --reason breakage --at 2026-02-11");
  }

  // The fields of a report as CSV, by heading and row.
  std::vector<std::vector<std::string>> Csv(const std::string& line) {
    const auto records = reports::ReadCsv(cellar_.Do(line + " --csv").out);
    EXPECT_TRUE(records.ok()) << records.status();
    std::vector<std::vector<std::string>> rows;
    if (records.ok()) {
      for (const reports::CsvRecord& record : *records) rows.push_back(record.fields);
    }
    return rows;
  }
  static std::string Field(const std::vector<std::vector<std::string>>& rows, size_t row,
                           const std::string& heading) {
    for (size_t i = 0; !rows.empty() && i < rows[0].size(); ++i) {
      if (rows[0][i] == heading) return row < rows.size() ? rows[row][i] : "no such row";
    }
    return "no such heading";
  }

  TestCellar cellar_;
};

TEST_F(ReportTest, RegisterOfTheSeasonBalances) {
  const auto rows = Csv("report register");
  ASSERT_EQ(rows.size(), 5u) << "headings, wine, bottles, and a total of each";
  EXPECT_EQ(Field(rows, 1, "Lot"), "Harrow");
  EXPECT_EQ(Field(rows, 1, "What"), "wine");
  EXPECT_EQ(Field(rows, 1, "Received"), "20");
  EXPECT_EQ(Field(rows, 1, "Lees"), "1");
  EXPECT_EQ(Field(rows, 1, "Bottled"), "18");
  EXPECT_EQ(Field(rows, 1, "Loss"), "1");
  EXPECT_EQ(Field(rows, 1, "On hand after"), "0");
  EXPECT_EQ(Field(rows, 2, "What"), "bottles 750 mL");
  EXPECT_EQ(Field(rows, 2, "Filled"), "24");
  EXPECT_EQ(Field(rows, 2, "Sold"), "5");
  EXPECT_EQ(Field(rows, 2, "Breakage"), "1");
  EXPECT_EQ(Field(rows, 2, "On hand after"), "18");
  EXPECT_EQ(Field(rows, 4, "Lot"), "all");
  EXPECT_EQ(Field(rows, 4, "On hand after"), "18");
}

TEST_F(ReportTest, RegisterOfAPeriodCountsItsFirstAndItsLastDay) {
  const auto rows = Csv("report register --from 2025-11-02 --until 2025-11-02");
  EXPECT_EQ(Field(rows, 1, "On hand before"), "20");
  EXPECT_EQ(Field(rows, 1, "Lees"), "1");
  EXPECT_EQ(Field(rows, 1, "On hand after"), "19");
  const auto before = Csv("report register --until 2025-11-01");
  EXPECT_EQ(Field(before, 1, "On hand after"), "20");
  const auto year = Csv("report register --year 2026 --by vessel");
  EXPECT_EQ(Field(year, 1, "Vessel or bin"), "C2");
  EXPECT_EQ(Field(year, 1, "On hand before"), "19");
  EXPECT_THAT(cellar_.Run("report register --from 2026-02-01 --until 2026-01-01").err,
              HasSubstr("--until lies before --from"));
  EXPECT_EQ(cellar_.Run("report register --by colour").exit_code, 2);
  EXPECT_EQ(cellar_.Run("report register --csv --json").exit_code, 2);
}

TEST_F(ReportTest, TableAndJsonSayTheSame) {
  const auto table = cellar_.Do("report register");
  EXPECT_THAT(table.out, AllOf(HasSubstr("Harrow  wine"), HasSubstr("20 L"),
                               HasSubstr("every row balances"), Not(HasSubstr("Evaporation"))));
  const auto json = cellar_.Do("report register --json");
  EXPECT_THAT(json.out,
              AllOf(HasSubstr("{\"report\":\"register\",\"rows\":[\n{\"of\":\"Harrow\",\"what\":"
                              "\"wine\",\"unit\":\"L\",\"before\":0,\"received\":20,"),
                    HasSubstr("\"notes\":[\"every row balances")));
}

TEST_F(ReportTest, LossesHaveTheirShareOfTheThroughput) {
  const auto rows = Csv("report losses");
  EXPECT_EQ(Field(rows, 1, "Where"), "C1");
  EXPECT_EQ(Field(rows, 1, "Cause"), "lees");
  EXPECT_EQ(Field(rows, 1, "Share"), "5.0000");
  EXPECT_EQ(Field(rows, 2, "Where"), "C2");
  EXPECT_EQ(Field(rows, 2, "Of a throughput of"), "19");
  EXPECT_EQ(Field(rows, 2, "Share"), "5.2631");
  EXPECT_THAT(cellar_.Do("report losses").out,
              ContainsRegex("Rack A +bottles 750 mL +lost +breakage"));
}

TEST_F(ReportTest, AdditionsNameThePacketAndTheRate) {
  const auto rows = Csv("report additions");
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(Field(rows, 1, "When"), "2026-01-10T12:00:00+01:00");
  EXPECT_EQ(Field(rows, 1, "Vessel"), "C2");
  EXPECT_EQ(Field(rows, 1, "Lot"), "Harrow");
  EXPECT_EQ(Field(rows, 1, "Packet"), "KMS-1");
  EXPECT_EQ(Field(rows, 1, "Supplier"), "Pell & Rook Supplies");
  EXPECT_EQ(Field(rows, 1, "Supplier's code"), "77-104");
  EXPECT_EQ(Field(rows, 1, "Amount"), "1.9 g");
  EXPECT_EQ(Field(rows, 1, "Wine treated"), "19");
  EXPECT_EQ(Field(rows, 1, "Rate"), "100 mg/L");
  EXPECT_EQ(Csv("report additions --year 2025").size(), 1u);
}

TEST_F(ReportTest, BottlingsHaveFillLossAndReadings) {
  const auto rows = Csv("report bottlings");
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(Field(rows, 1, "Run"), "H25");
  EXPECT_EQ(Field(rows, 1, "Lot code"), "L25H1");
  EXPECT_EQ(Field(rows, 1, "Bottles"), "24");
  EXPECT_EQ(Field(rows, 1, "Size"), "0.75");
  EXPECT_EQ(Field(rows, 1, "Mean fill"), "0.75");
  EXPECT_EQ(Field(rows, 1, "Lost"), "1");
  EXPECT_THAT(Field(rows, 1, "Latest readings"), HasSubstr("alcohol 12.3 %vol (2026-01-12)"));
}

TEST_F(ReportTest, HomeIsHeldAgainstTheJurisdictionsOfTheCellar) {
  cellar_.Do("settings change --jurisdictions US,GB");
  cellar_.Do("receive wine 5L --into C1 --lot 'Bought in' --at 2025-12-01");
  const auto rows = Csv("report home --year 2025");
  ASSERT_EQ(rows.size(), 4u);
  EXPECT_EQ(Field(rows, 1, "Made"), "20") << "bulk wine was made by somebody else";
  EXPECT_EQ(Field(rows, 1, "Allowance"), "378.541178");
  EXPECT_EQ(Field(rows, 1, "Used"), "5.2834");
  EXPECT_THAT(Field(rows, 1, "Source"), HasSubstr("24.75"));
  EXPECT_EQ(Field(rows, 2, "Allowance"), "757.082356");
  EXPECT_EQ(Field(rows, 3, "Where"), "GB");
  EXPECT_EQ(Field(rows, 3, "Allowance"), "");
  cellar_.Do("lot change Harrow --for sale");
  EXPECT_EQ(Csv("report home --year 2025").size(), 1u);
}

TEST_F(ReportTest, InventoryOfAPastDayAsKnownNowAndThen) {
  const auto then = Csv("report inventory --on 2025-12-31");
  EXPECT_EQ(Field(then, 1, "Name"), "C2");
  EXPECT_EQ(Field(then, 1, "Lot"), "Harrow");
  EXPECT_EQ(Field(then, 1, "Amount"), "19");
  // Written down a day later, for a day long past.
  cellar_.Advance(absl::Hours(24));
  cellar_.Do("draw sample C2 100mL --at 2025-12-30");
  EXPECT_EQ(Field(Csv("report inventory --on 2025-12-31"), 1, "Amount"), "18.9");
  EXPECT_EQ(Field(Csv("report inventory --on 2025-12-31 --as-known-on yesterday"), 1, "Amount"),
            "19");
  EXPECT_EQ(Field(Csv("report inventory --on 2025-12-31 --as-known-on today"), 1, "Amount"),
            "18.9");
  EXPECT_THAT(cellar_.Do("report inventory").out,
              AllOf(ContainsRegex("bin +Rack A +H25 +Harrow +L25H1 +750 mL +18"),
                    ContainsRegex("packet +KMS-1 +potassium metabisulfite +77-104 +98.1 g")));
}

TEST_F(ReportTest, DossierHasTheWholeStory) {
  const auto dossier = cellar_.Do("report dossier Harrow");
  EXPECT_THAT(dossier.out, AllOf(HasSubstr("class: white, 2025"),
                                 HasSubstr("from Harrow Lane, their lot HL-9"), HasSubstr("racked"),
                                 HasSubstr("free SO2"), HasSubstr("took 5"), HasSubstr("finding")));
  EXPECT_EQ(cellar_.Run("report dossier Nobody").exit_code, 1);
}

TEST_F(ReportTest, LabelSaysWhatIsOwedAndWhy) {
  const auto label = cellar_.Do("report label H25");
  EXPECT_THAT(
      label.out,
      AllOf(HasSubstr("L25H1"), HasSubstr("750 mL"), HasSubstr("12.5 % vol"),
            HasSubstr("contains sulfites"), HasSubstr("Riesling"), HasSubstr("kcal per 100 mL"),
            ContainsRegex("allergens +none by what"), HasSubstr("check with your authority")));
}

TEST_F(ReportTest, LabelNamesWhatIsMissing) {
  cellar_.Do("receive juice 5L --into C1 --lot Plain --at 2026-02-20");
  cellar_.Do(
      "bottle C1 --size 500mL --count 10 --bin 'Rack A' --run P26 --at 2026-02-25 --anyway "
      "'a test'");
  EXPECT_THAT(cellar_.Do("report label P26").out,
              AllOf(ContainsRegex("lot code +not known"), ContainsRegex("alcohol +not known"),
                    ContainsRegex("energy +not known\n    alcohol, residual sugar"),
                    ContainsRegex("sulfites +not known\n    nothing that was added")));
}

// A reading settles what additions leave open, and an allergen beside sulfites has its own row.
TEST_F(ReportTest, LabelTellsSulfitesByReadingAndOtherAllergensApart) {
  cellar_.Do("settings change --jurisdictions GB");
  cellar_.Do("material new 'egg white' --kind fining --by weight --allergens 'egg, sulfites'");
  cellar_.Do("packet new 'egg white' --name EW-1 --amount 100g --at 2026-02-01");
  cellar_.Do("receive juice 5L --into C1 --lot Plain --at 2026-02-20");
  cellar_.Do("add C1 'egg white' 5g --at 2026-02-21");
  cellar_.Do("read C1 tso2=6mg/L alcohol=11.8% --at 2026-02-22");
  cellar_.Do(
      "bottle C1 --size 500mL --count 10 --bin 'Rack A' --run P26 --at 2026-02-25 --anyway "
      "'a test'");
  EXPECT_THAT(
      cellar_.Do("report label P26").out,
      AllOf(ContainsRegex("sulfites +none owed by what is known\n    measured 6 mg/L"),
            ContainsRegex("allergens +egg\n    5 g of egg white"), HasSubstr("GB: measured")));
}

}  // namespace
}  // namespace rundlet::client

// Goal: a recall sheet says where all of a packet is, and its numbers add up. Method: command lines
// in this process, on a season of an invented circle small enough to add up by hand; the sheet is
// read as JSON.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <map>

#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class RecallTest : public ::testing::Test {
 protected:
  using Row = std::map<std::string, std::string>;  // numbers as text

  RecallTest() {
    cellar_.Do("vessel new C1 C2 C3 --capacity 25L");
    cellar_.Do("bin new 'Rack A' 'Rack B'");
    cellar_.Do("member new 'Colm Adeyemi'");
    cellar_.Do(
        "packet new 'potassium metabisulfite' --name KMS-1 --code 77-104 --supplier 'Pell & Rook "
        "Supplies' --amount 100g --at 2025-09-01");
    cellar_.Do(
        "packet new 'potassium metabisulfite' --name KMS-2 --code 77-105 --supplier 'Pell & Rook "
        "Supplies' --amount 50g --at 2025-09-01");
    cellar_.Do(
        "receive juice 20L --into C1 --lot Harrow --supplier 'Harrow Lane' "
        "--supplier-lot HL-9 --at 2025-10-01");
    cellar_.Do("receive juice 10L --into C3 --lot Fenwick --at 2025-10-01");
    cellar_.Do("add C1 'potassium metabisulfite' 2g --packet KMS-1 --at 2025-10-02");
    cellar_.Do("rack C1=5L C2 --at 2025-10-03");      // 0.5 g
    cellar_.Do("draw sample C2 1L --at 2025-10-04");  // 0.1 g
    cellar_.Do("treat C1 filter --at 2025-12-01");
    cellar_.Do("bottle C1 --size 750mL --count 20 --bin 'Rack A' --run H25 --at 2026-01-05");
    cellar_.Do("move H25 8 --from 'Rack A' --to 'Rack B' --at 2026-01-06");
    cellar_.Do("take H25 3 --from 'Rack A' --reason sold --person 'Maud Ferrier' --at 2026-01-10");
    cellar_.Do(
        "take H25 2 --from 'Rack B' --reason served --occasion 'twelfth night' "
        "--at 2026-01-11");
    cellar_.Do("put H25 1 --into 'Rack B' --reason served --at 2026-01-12");
    cellar_.Do("open H25 1 --from 'Rack A' --at 2026-01-13");
    cellar_.Do("empty H25 2 --from 'Rack A' --into C3=1.5L --at 2026-01-14");
    cellar_.Do("count 'Rack B' H25=6 --adopt --at 2026-01-15");  // of 7: one is missing
  }

  std::vector<Row> Sheet(const std::string& thing) {
    google::protobuf::Struct json;
    const std::string out = cellar_.Do("recall " + thing + " --json").out;
    EXPECT_TRUE(google::protobuf::util::JsonStringToMessage(out, &json).ok()) << out;
    std::vector<Row> rows;
    for (const auto& value : json.fields().at("rows").list_value().values()) {
      Row& row = rows.emplace_back();
      for (const auto& [key, field] : value.struct_value().fields()) {
        row[key] =
            field.has_string_value() ? field.string_value() : std::to_string(field.number_value());
      }
    }
    return rows;
  }
  static std::vector<Row> Part(const std::vector<Row>& rows, const std::string& part) {
    std::vector<Row> some;
    for (const Row& row : rows) {
      if (row.at("part") == part) some.push_back(row);
    }
    return some;
  }
  static int Bottles(const std::vector<Row>& rows, const std::string& part) {
    int sum = 0;
    for (const Row& row : Part(rows, part)) sum += static_cast<int>(std::stod(row.at("bottles")));
    return sum;
  }

  TestCellar cellar_;
};

TEST_F(RecallTest, TellsWhereThePacketIs) {
  const std::vector<Row> sheet = Sheet("KMS-1");
  EXPECT_EQ(Part(sheet, "recalled")[0].at("amount"), "2 g");
  EXPECT_EQ(Part(sheet, "recalled")[0].at("what"),
            "potassium metabisulfite, by Pell & Rook Supplies, code 77-104");
  EXPECT_EQ(Part(sheet, "stock")[0].at("amount"), "98 g");
  const std::vector<Row> vessels = Part(sheet, "vessel");
  ASSERT_EQ(vessels.size(), 2u);
  EXPECT_EQ(vessels[0].at("where"), "C2");
  EXPECT_EQ(vessels[0].at("amount"), "400 mg");
  EXPECT_THAT(vessels[0].at("content"), HasSubstr("100 mg/L"));
  EXPECT_EQ(vessels[1].at("where"), "C3") << "bottles were emptied into it";
  EXPECT_EQ(vessels[1].at("amount"), "150 mg") << "1.5 L of 15 L that held 1.5 g";
  const std::vector<Row> filled = Part(sheet, "filled");
  ASSERT_EQ(filled.size(), 1u);
  EXPECT_EQ(filled[0].at("what"), "H25");
  EXPECT_EQ(filled[0].at("per_bottle"), "75 mg");
  const std::vector<Row> drawn = Part(sheet, "drawn");
  ASSERT_EQ(drawn.size(), 1u);
  EXPECT_EQ(drawn[0].at("how"), "sample");
  EXPECT_EQ(Part(sheet, "gone")[0].at("amount"), "100 mg");
}

TEST_F(RecallTest, BottlesAddUp) {
  const std::vector<Row> sheet = Sheet("KMS-1");
  EXPECT_EQ(Bottles(sheet, "filled"), 20);
  EXPECT_EQ(Bottles(sheet, "lies"), 6 + 6);
  EXPECT_EQ(Bottles(sheet, "opened"), 1);
  EXPECT_EQ(Bottles(sheet, "taken"), 5);
  EXPECT_EQ(Bottles(sheet, "returned"), 1);
  EXPECT_EQ(Bottles(sheet, "emptied"), 2);
  EXPECT_EQ(Bottles(sheet, "missing"), 1);
  EXPECT_EQ(Bottles(sheet, "filled"), Bottles(sheet, "lies") + Bottles(sheet, "opened") +
                                          Bottles(sheet, "taken") - Bottles(sheet, "returned") +
                                          Bottles(sheet, "emptied") + Bottles(sheet, "missing"));
  const std::vector<Row> taken = Part(sheet, "taken");
  ASSERT_EQ(taken.size(), 2u);
  EXPECT_EQ(taken[0].at("how"), "sold");
  EXPECT_EQ(taken[0].at("who"), "Maud Ferrier");
  EXPECT_EQ(taken[0].at("where"), "Rack A");
  EXPECT_EQ(taken[1].at("occasion"), "twelfth night");
  EXPECT_EQ(Part(sheet, "sum")[0].at("how"),
            "20 filled = 13 here + 5 taken - 1 returned + 2 emptied + 1 missing");
}

TEST_F(RecallTest, ACodeASupplierALotAndADeliveryAreRecalledToo) {
  EXPECT_EQ(Sheet("77-104"), Sheet("KMS-1"));
  const std::vector<Row> supplier = Sheet("'Pell & Rook Supplies'");
  EXPECT_EQ(Part(supplier, "recalled").size(), 2u) << "both packets";
  EXPECT_EQ(Part(supplier, "recalled")[1].at("how"), "has not gone into any wine");
  EXPECT_EQ(Part(supplier, "stock")[1].at("amount"), "50 g");
  const std::vector<Row> delivery = Sheet("HL-9");
  EXPECT_EQ(Part(delivery, "recalled")[0].at("amount"), "20 L");
  EXPECT_EQ(Part(delivery, "vessel")[0].at("content"), "100.0 %");
  EXPECT_EQ(Part(delivery, "filled")[0].at("per_bottle"), "750 mL");
  EXPECT_EQ(Part(Sheet("Harrow"), "vessel"), [&] {
    auto rows = Part(delivery, "vessel");
    for (Row& row : rows) row["recalled"] = "Harrow";
    return rows;
  }());
  EXPECT_EQ(cellar_.Run("recall C1").exit_code, 2);
  EXPECT_EQ(cellar_.Run("recall nothing-such").exit_code, 1);
}

TEST_F(RecallTest, SaysWhenItWasMadeAndFromWhat) {
  const std::string table = cellar_.Do("recall KMS-1").out;
  EXPECT_THAT(table, HasSubstr("made 2026-03-02 10:00 of "));
  EXPECT_THAT(table, HasSubstr("not synced yet"));
  const auto csv = cellar_.Do("recall KMS-1 --csv");
  EXPECT_THAT(csv.out, Not(HasSubstr("made 2026")));
  EXPECT_THAT(csv.err, HasSubstr("note: made 2026-03-02 10:00 of "));
  EXPECT_THAT(cellar_.Do("recall KMS-1 --as-of 2026-01-05").out,
              HasSubstr("20 filled = 20 here + 0 taken"));
}

TEST_F(RecallTest, ARunFilledTwiceIsListedWhole) {
  cellar_.Do("treat C2 filter --at 2025-12-01");
  cellar_.Do("treat C3 filter --at 2025-12-01");
  cellar_.Do("bottle C3=3L --size 750mL --count 4 --bin 'Rack A' --run F25 --at 2026-01-02");
  cellar_.Do("bottle C2=3L --size 750mL --count 4 --bin 'Rack A' --run F25 --at 2026-01-20");
  const std::string table = cellar_.Do("recall KMS-1").out;
  EXPECT_THAT(table, HasSubstr("run F25 was filled 2 times, and 1 of them held some of KMS-1"));
  EXPECT_THAT(table, HasSubstr("8 filled = 8 here + 0 taken"));
}

}  // namespace
}  // namespace rundlet::client

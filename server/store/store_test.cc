// Goal: values arrive in PostgreSQL, and come back, as they were meant.
// Method: arrays in the binary format are unnested by a real server; things are turned into JSON
// that jsonb takes; the words of the protocol's enums are looked at.
#include <limits>

#include "gmock/gmock.h"
#include "server/pg/testing/test_database.h"
#include "server/store/pg_array.h"
#include "server/store/pg_value.h"
#include "server/store/thing_json.h"
#include "server/store/words.h"
#include "tests/support/messages.h"

namespace rundlet::server {
namespace {

class StoreTest : public DatabaseTest {
 protected:
  // An array's elements as PostgreSQL writes them in text; "null" for null.
  std::vector<std::string> Unnested(const PgArray& array) {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    std::vector<std::string> texts;
    const std::string type(PgTypeName(array.type()));
    for (const pqxx::row& row :
         work.exec_params("select unnest($1::" + type + "[])", array.Parameter())) {
      texts.push_back(row[0].is_null() ? "null" : row[0].c_str());
    }
    return texts;
  }
};

TEST_F(StoreTest, ArraysOfNumbers) {
  PgArray wide(PgType::kInt8);
  for (const int64_t n : {int64_t{0}, int64_t{-1}, std::numeric_limits<int64_t>::max(),
                          std::numeric_limits<int64_t>::min()}) {
    wide.AddInt(n);
  }
  EXPECT_THAT(Unnested(wide),
              ::testing::ElementsAre("0", "-1", "9223372036854775807", "-9223372036854775808"));
  PgArray medium(PgType::kInt4);
  medium.AddInt(-2147483648);
  medium.AddNull();
  EXPECT_THAT(Unnested(medium), ::testing::ElementsAre("-2147483648", "null"));
  PgArray narrow(PgType::kInt2);
  narrow.AddInt(-32768);
  EXPECT_THAT(Unnested(narrow), ::testing::ElementsAre("-32768"));
}

TEST_F(StoreTest, ArraysOfOtherValues) {
  const Uuid id = rundlet::testing::IdOf("C1");
  PgArray ids(PgType::kUuid);
  ids.AddUuid(id);
  ids.AddUuidOrNull(Uuid());
  EXPECT_THAT(Unnested(ids), ::testing::ElementsAre(id.ToString(), "null"));
  PgArray texts(PgType::kText);
  texts.AddText("");
  texts.AddText("{\"a\", b\\}");
  texts.AddText(absl::string_view("nul\0nul", 7));
  EXPECT_THAT(Unnested(texts), ::testing::ElementsAre("", "{\"a\", b\\}", "nul\xef\xbf\xbdnul"));
  PgArray flags(PgType::kBool);
  flags.AddBool(true);
  flags.AddBool(false);
  EXPECT_THAT(Unnested(flags), ::testing::ElementsAre("t", "f"));
  PgArray bytes(PgType::kBytes);
  bytes.AddBytes(absl::string_view("\0\xff", 2));
  EXPECT_THAT(Unnested(bytes), ::testing::ElementsAre("\\x00ff"));
  bytes.Clear();
  EXPECT_THAT(Unnested(bytes), ::testing::IsEmpty());
}

TEST_F(StoreTest, BytesAndIdsComeBack) {
  pqxx::connection connection(db().connection_string());
  pqxx::work work(connection);
  const Uuid id = rundlet::testing::IdOf("C1");
  const pqxx::row row =
      work.exec_params1("select $1::uuid, '\\x00ff7A'::bytea, ''::bytea, 'text'", id.ToString());
  EXPECT_EQ(UuidFrom(row[0]), id);
  EXPECT_EQ(BytesFrom(row[1]), std::string("\0\xffz", 3));
  EXPECT_EQ(BytesFrom(row[2]), "");
  EXPECT_THROW(BytesFrom(row[3]), std::runtime_error);
  EXPECT_THROW(UuidFrom(row[3]), std::runtime_error);
}

TEST_F(StoreTest, ThingsAreJson) {
  const Uuid id = rundlet::testing::IdOf("metabisulfite");
  v1::Thing lot;
  v1::MaterialLot& said = *lot.mutable_material_lot();
  said.set_name("packet \"7\"\\");
  said.set_material_id(id.ToBytes());
  said.set_supplier(std::string("a\0b\n", 4));
  EXPECT_EQ(ThingName(lot), "packet \"7\"\\");
  pqxx::connection connection(db().connection_string());
  const pqxx::row row =
      pqxx::work(connection)
          .exec_params1(
              "select j->>'name', j->>'material_id', j->>'supplier', j->>'expires_on' from "
              "(select $1::jsonb as j) x",
              ThingJson(lot));
  EXPECT_STREQ(row[0].c_str(), "packet \"7\"\\");
  EXPECT_EQ(row[1].c_str(), id.ToString());
  EXPECT_STREQ(row[2].c_str(),
               "a\xef\xbf\xbd"
               "b\n");
  EXPECT_TRUE(row[3].is_null());

  v1::Thing material;
  material.mutable_material()->set_dimension(v1::DIMENSION_MASS);
  material.mutable_material()->set_so2_ppm(576'300);
  EXPECT_EQ(ThingJson(material), R"({"dimension":"DIMENSION_MASS","so2_ppm":576300})");
  EXPECT_EQ(ThingJson(v1::Thing()), "{}");
}

TEST(WordsTest, AreTheProtocolsInLowerCase) {
  EXPECT_EQ(WordOf(v1::ACCOUNT_LEES), "lees");
  EXPECT_EQ(WordOf(v1::READING_KIND_FREE_SO2), "free_so2");
  EXPECT_EQ(WordOf(v1::READING_UNIT_KG_PER_M3), "kg_per_m3");
  EXPECT_EQ(WordOf(v1::TREATMENT_KIND_DEGASSING), "degassing");
  EXPECT_EQ(WordOf(v1::HELD_REASON_NOT_ENOUGH_WINE), "not_enough_wine");
  EXPECT_EQ(WordOf(v1::Thing::kMaterialLot), "material_lot");
  EXPECT_EQ(WordOf(static_cast<v1::Account>(9999)), "unknown");
  EXPECT_EQ(WordOf(static_cast<v1::Account>(-1)), "unknown");
}

}  // namespace
}  // namespace rundlet::server

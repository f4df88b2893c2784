// Goal: what difference writing leaves in the database is exactly what the fold says, whatever the
// order, the batches and the servers.
// Method: random cellars (tests/support/generator.h), realistic and hostile, are pushed in random
// order and random batches by their devices to two servers on one database, alternately; then the
// projections are compared row by row with those of a fold of the journal from nothing, and digests
// with a fold of the same entries in memory. RUNDLET_SEED and RUNDLET_RUNS choose other cases.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "server/cellar/rebuild.h"
#include "server/testing/cellar_test.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::server {
namespace {

using rundlet::testing::CellarGenerator;
using rundlet::testing::GeneratorOptions;
using rundlet::testing::Profile;
using rundlet::testing::Random;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class ProjectionsTest : public CellarTest {
 protected:
  // Pushes `count` random entries and checks everything.
  void PushAndCompare(Profile profile, uint64_t seed, size_t count) {
    SCOPED_TRACE(::testing::Message() << "seed " << seed);
    const NewDevice first = NewCellar(
        absl::StrCat("Cellar of random season ", seed, " of profile ", static_cast<int>(profile)));
    std::vector<Device> devices = {first.device};
    for (const char* member : {"Bram Oakshott", "Wren Hollis"}) {
      devices.push_back(AddDeviceTo(first.device.cellar_id, rundlet::testing::IdOf(member), member,
                                    MemberRole::kMaster)
                            .device);
    }
    std::vector<Writer> writers;
    for (const Device& device : devices) writers.push_back(WriterOf(device));
    CellarGenerator generator(GeneratorOptions::Of(profile, seed), writers);

    Random random(seed);
    Replica replicas[] = {Replica(db().connection_string()), Replica(db().connection_string())};
    std::vector<std::vector<std::string>> waiting(devices.size());
    Fold fold;
    for (size_t i = 0; i < count; ++i) {
      WrittenEntry written = generator.Next();
      fold.Insert(written.entry);
      for (size_t d = 0; d < devices.size(); ++d) {
        if (written.entry.device_id() == devices[d].device_id.bytes()) {
          waiting[d].push_back(std::move(written.bytes));
        }
      }
      if (!random.Chance(60) && i + 1 < count) continue;
      const auto d = static_cast<size_t>(random.Below(static_cast<int64_t>(devices.size())));
      Flush(replicas[random.Below(2)], devices[d], random, waiting[d]);
    }
    for (size_t d = 0; d < devices.size(); ++d) {
      Flush(replicas[d % 2], devices[d], random, waiting[d]);
    }
    fold.Settle();

    EXPECT_THAT(Differences(first.device.cellar_id), IsEmpty());
    const Hash digest = fold.StateDigest();
    Replica cold(db().connection_string());
    EXPECT_EQ(replicas[0].Digest(first.device.cellar_id), digest);
    EXPECT_EQ(replicas[1].Digest(first.device.cellar_id), digest);
    EXPECT_EQ(cold.Digest(first.device.cellar_id), digest);
  }

  void Flush(Replica& replica, const Device& device, Random& random,
             std::vector<std::string>& entries) {
    if (random.Chance(500)) random.Shuffle(entries);
    const absl::StatusOr<PushResult> result = replica.Push(device, entries);
    ASSERT_TRUE(result.ok()) << result.status();
    for (const v1::Disposition& disposition : result->dispositions) {
      EXPECT_EQ(disposition.kind(), v1::DISPOSITION_KIND_RECORDED)
          << disposition.ShortDebugString();
    }
    entries.clear();
  }

  // One statement of the owner's on the circle's cellar.
  void Tamper(const std::string& sql) {
    pqxx::connection owner(db().connection_string());
    pqxx::work work(owner);
    work.exec_params("select set_config('rundlet.cellar_id', $1, true)", cellar_id().ToString());
    ASSERT_EQ(work.exec(sql).affected_rows(), 1u) << sql;
    work.commit();
  }
};

TEST_F(ProjectionsTest, OfRealisticCellarsAreExact) {
  const uint64_t first = rundlet::testing::FirstSeed();
  for (uint64_t seed = first; seed < first + rundlet::testing::Runs(6); ++seed) {
    PushAndCompare(Profile::kRealistic, seed, 700);
  }
}

TEST_F(ProjectionsTest, OfHostileCellarsAreExact) {
  const uint64_t first = rundlet::testing::FirstSeed();
  for (uint64_t seed = first; seed < first + rundlet::testing::Runs(6); ++seed) {
    PushAndCompare(Profile::kHostile, seed, 700);
  }
}

// The comparison itself can find what is wrong, and a rebuild mends it.
TEST_F(ProjectionsTest, AnythingTamperedWithIsFoundAndMended) {
  CellarGenerator generator(GeneratorOptions::Of(Profile::kRealistic, 7), {WriterOf(isolde())});
  std::vector<std::string> entries;
  for (int i = 0; i < 900; ++i) entries.push_back(generator.Next().bytes);
  Replica replica(db().connection_string());
  ASSERT_TRUE(replica.Push(isolde(), entries).ok());
  ASSERT_THAT(Differences(cellar_id()), IsEmpty());

  const std::pair<std::string, std::string> attempts[] = {
      {"vessel",
       "update rundlet.vessel set volume_ul = volume_ul + 1 where vessel_id = (select "
       "vessel_id from rundlet.vessel limit 1)"},
      {"movement",
       "delete from rundlet.movement where (entry_id, ordinal) = (select entry_id, "
       "ordinal from rundlet.movement limit 1)"},
      {"parcel",
       "update rundlet.parcel set share_ul[1] = share_ul[1] + 1 where (entry_id, ordinal) "
       "= (select entry_id, ordinal from rundlet.parcel where cardinality(share_ul) > 0 "
       "limit 1)"},
      {"thing",
       "update rundlet.thing set attributes = '{}' where thing_id = (select thing_id from "
       "rundlet.thing limit 1)"},
      {"stock",
       "delete from rundlet.stock where material_lot_id = (select material_lot_id from "
       "rundlet.stock limit 1)"},
      {"held",
       "insert into rundlet.held values ((select cellar_id from rundlet.cellar), "
       "gen_random_uuid(), 'empty_vessel', null, 0, 0, null)"},
  };
  for (const auto& [table, sql] : attempts) {
    Tamper(sql);
    EXPECT_THAT(Differences(cellar_id()), HasSubstr(table));
    const auto rebuilt = RebuildProjections(admin().pool(), cellar_id(), admin().Deadline());
    ASSERT_TRUE(rebuilt.ok()) << rebuilt.status();
    EXPECT_EQ(rebuilt->entries, entries.size());
    EXPECT_THAT(Differences(cellar_id()), IsEmpty());
  }
}

// A cache that is too small for even one cellar forgets and loads again, and nothing else changes.
TEST_F(ProjectionsTest, EvictedCellarsAreLoadedAgain) {
  Replica replica(db().connection_string(), /*cache_bytes=*/1);
  const NewDevice other = NewCellar("Second Cellar");
  CellarGenerator ours(GeneratorOptions::Of(Profile::kRealistic, 1), {WriterOf(isolde())});
  CellarGenerator theirs(GeneratorOptions::Of(Profile::kRealistic, 2), {WriterOf(other.device)});
  for (int round = 0; round < 10; ++round) {
    for (const auto& [device, generator] :
         {std::pair(isolde(), &ours), std::pair(other.device, &theirs)}) {
      std::vector<std::string> entries;
      for (int i = 0; i < 20; ++i) entries.push_back(generator->Next().bytes);
      ASSERT_TRUE(replica.Push(device, entries).ok());
    }
  }
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
  EXPECT_THAT(Differences(other.device.cellar_id), IsEmpty());
}

// Nothing of one cellar is visible to a transaction on another, also by plain SQL as the server's
// role; nor can it write there.
TEST_F(ProjectionsTest, CellarsAreKeptApartBeneathTheService) {
  Replica replica(db().connection_string());
  const NewDevice other = NewCellar("Second Cellar");
  CellarGenerator generator(GeneratorOptions::Of(Profile::kRealistic, 3), {WriterOf(isolde())});
  std::vector<std::string> entries;
  for (int i = 0; i < 900; ++i) entries.push_back(generator.Next().bytes);
  ASSERT_TRUE(replica.Push(isolde(), entries).ok());
  const auto transaction =
      CellarTransaction::Begin(replica.pool(), other.device.cellar_id, absl::InfiniteFuture());
  ASSERT_TRUE(transaction.ok()) << transaction.status();
  pqxx::work& work = (*transaction)->work();
  EXPECT_STREQ(work.exec1("select current_user")[0].c_str(), "rundlet_server");
  for (const char* table :
       {"journal", "thing", "vessel", "parcel", "movement", "stock", "bin_content", "reading",
        "treatment", "observation", "held", "parcel_share", "vessel_share", "parcel_dose"}) {
    EXPECT_EQ(work.exec1(std::string("select count(*) from rundlet.") + table)[0].as<int>(), 0)
        << table;
    EXPECT_EQ(work.exec_params1(std::string("select count(*) from rundlet.") + table +
                                    " where cellar_id = $1",
                                cellar_id().ToString())[0]
                  .as<int>(),
              0)
        << table;
  }
  EXPECT_EQ(work.exec1("select count(*) from rundlet.cellar")[0].as<int>(), 1);
  EXPECT_EQ(
      work.exec_params("delete from rundlet.thing where cellar_id = $1", cellar_id().ToString())
          .affected_rows(),
      0u);
  EXPECT_THROW(work.exec_params("insert into rundlet.stock values ($1, gen_random_uuid(), 1, 5)",
                                cellar_id().ToString()),
               pqxx::sql_error);
}

}  // namespace
}  // namespace rundlet::server

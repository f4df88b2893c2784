// Goal: the tree in the database is that over the journal, however entries came in, on whatever
// server, and its proofs show what they should; a journal from before there was a tree gets it.
// Method: random batches through two servers on a real database, against a tree grown plainly.
#include "server/cellar/proofs.h"

#include <pqxx/pqxx>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "core/entry/entry.h"
#include "core/evidence/merkle.h"
#include "gmock/gmock.h"
#include "server/cellar/rebuild.h"
#include "server/store/journal_store.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/random.h"

namespace rundlet::server {
namespace {

using evidence::Frontier;
using rundlet::testing::Random;
using rundlet::testing::TestDevice;

class ProofsTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    one_ = std::make_unique<Replica>(db().connection_string());
    two_ = std::make_unique<Replica>(db().connection_string());
    phone_ = std::make_unique<TestDevice>("phone", WriterOf(isolde()));
  }

  void Push(Replica& replica, size_t count) {
    std::vector<std::string> entries;
    for (size_t i = 0; i < count; ++i) {
      entries.push_back(phone_->RegisterVessel(absl::StrCat("C", all_.size() + i)).bytes);
      leaves_.push_back(LeafHash(sha_, entries.back()));
    }
    all_.insert(all_.end(), entries.begin(), entries.end());
    const auto result = replica.Push(isolde(), entries);
    ASSERT_TRUE(result.ok()) << result.status();
    ASSERT_EQ(result->journal_size, all_.size());
  }
  std::unique_ptr<CellarTransaction> Begin() {
    auto transaction =
        CellarTransaction::Begin(one_->pool(), cellar_id(), absl::Now() + absl::Seconds(30));
    EXPECT_TRUE(transaction.ok()) << transaction.status();
    return *std::move(transaction);
  }
  Hash RootAt(uint64_t size) const {
    Frontier tree;
    for (uint64_t i = 0; i < size; ++i) tree.Append(leaves_[i]);
    return tree.Root();
  }
  void CheckAt(uint64_t size, Random& random) {
    const auto transaction = Begin();
    const uint64_t journal = all_.size();
    const auto root = ReadRoot(*transaction, size, journal);
    ASSERT_TRUE(root.ok()) << root.status();
    ASSERT_EQ(*root, RootAt(size)) << size << " of " << journal;
    for (int i = 0; i < 4; ++i) {
      const auto index = static_cast<uint64_t>(random.Below(static_cast<int64_t>(size)));
      const auto inclusion = ReadInclusionProof(*transaction, index, size, journal);
      ASSERT_TRUE(inclusion.ok()) << inclusion.status();
      EXPECT_TRUE(evidence::VerifyInclusion(leaves_[index], index, size, *inclusion, *root).ok());
      const auto consistency = ReadConsistencyProof(*transaction, index, size, journal);
      ASSERT_TRUE(consistency.ok()) << consistency.status();
      EXPECT_TRUE(
          evidence::VerifyConsistency(index, RootAt(index), size, *root, *consistency).ok());
    }
  }
  // As the owner, whom nothing binds but the policies.
  void Execute(const std::string& sql) {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    work.exec_params("select set_config('rundlet.cellar_id', $1, true)", cellar_id().ToString());
    work.exec(sql);
    work.commit();
  }

  std::unique_ptr<Replica> one_, two_;
  std::unique_ptr<TestDevice> phone_;
  std::vector<std::string> all_;
  std::vector<Hash> leaves_;
  Sha256 sha_;
};

TEST_F(ProofsTest, TheTreeOfAnyJournalFromTwoServers) {
  Random random(7);
  while (all_.size() < 700) {
    Replica& replica = random.Chance(500) ? *one_ : *two_;
    ASSERT_NO_FATAL_FAILURE(Push(replica, static_cast<size_t>(random.Between(1, 60))));
    ASSERT_NO_FATAL_FAILURE(CheckAt(all_.size(), random));
    const auto earlier =
        static_cast<uint64_t>(random.Between(1, static_cast<int64_t>(all_.size())));
    ASSERT_NO_FATAL_FAILURE(CheckAt(earlier, random));
  }
}

TEST_F(ProofsTest, BeyondTheJournalThereIsNothing) {
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 20));
  const auto transaction = Begin();
  EXPECT_TRUE(absl::IsOutOfRange(ReadRoot(*transaction, 21, 20).status()));
  EXPECT_TRUE(absl::IsOutOfRange(ReadInclusionProof(*transaction, 20, 20, 20).status()));
  EXPECT_TRUE(absl::IsOutOfRange(ReadConsistencyProof(*transaction, 21, 20, 20).status()));
}

TEST_F(ProofsTest, AJournalFromBeforeTheTreeGetsItWithItsNextWrite) {
  Random random(11);
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 300));
  Execute("delete from rundlet.tree_tile");
  EXPECT_TRUE(absl::IsDataLoss(ReadRoot(*Begin(), 300, 300).status()));
  // A server that has just been started on that database.
  Replica fresh(db().connection_string());
  ASSERT_NO_FATAL_FAILURE(Push(fresh, 1));
  ASSERT_NO_FATAL_FAILURE(CheckAt(301, random));
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 30));
  ASSERT_NO_FATAL_FAILURE(CheckAt(331, random));
}

// What is pushed again writes nothing of its own, and must not lose what was about to be written.
TEST_F(ProofsTest, ARepeatedPushGrowsTheTreeAsWell) {
  Random random(13);
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 300));
  Execute("delete from rundlet.tree_tile");
  Replica fresh(db().connection_string());
  const auto again = fresh.Push(isolde(), {all_.back()});
  ASSERT_TRUE(again.ok()) << again.status();
  ASSERT_NO_FATAL_FAILURE(CheckAt(300, random));
  ASSERT_NO_FATAL_FAILURE(Push(fresh, 20));
  ASSERT_NO_FATAL_FAILURE(CheckAt(320, random));
}

TEST_F(ProofsTest, RebuildingGrowsTheTree) {
  Random random(17);
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 300));
  Execute("delete from rundlet.tree_tile");
  const auto rebuilt =
      RebuildProjections(one_->pool(), cellar_id(), absl::Now() + absl::Seconds(30));
  ASSERT_TRUE(rebuilt.ok()) << rebuilt.status();
  ASSERT_NO_FATAL_FAILURE(CheckAt(300, random));
}

TEST_F(ProofsTest, TheServerCannotChangeTheTree) {
  ASSERT_NO_FATAL_FAILURE(Push(*one_, 20));
  for (const char* sql : {"update rundlet.tree_tile set place = 9", "delete from rundlet.tree_tile",
                          "truncate rundlet.tree_tile"}) {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    work.exec("set local role rundlet_server");
    work.exec_params("select set_config('rundlet.cellar_id', $1, true)", cellar_id().ToString());
    EXPECT_THROW(work.exec(sql), pqxx::insufficient_privilege) << sql;
  }
}

}  // namespace
}  // namespace rundlet::server

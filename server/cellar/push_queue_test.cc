// Goal: pushes that arrive together are written together, cellars do not hold each other up, and a
// push that cannot be taken or written is told so, with nothing decided.
// Method: the test holds a cellar's head row in a transaction of its own, so that it chooses when a
// write can go on; entries written in one transaction share their time of receipt.
#include "server/cellar/push_queue.h"

#include <atomic>
#include <memory>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/cellar/limits.h"
#include "server/errors.h"
#include "server/pg/testing/await.h"
#include "server/store/journal_store.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::server {
namespace {

using rundlet::testing::TestDevice;
using ::testing::ElementsAre;

// Answers in the order of their coming.
class Answers {
 public:
  std::function<void(absl::StatusOr<PushResult>)> Taker() {
    return [this](absl::StatusOr<PushResult> result) {
      absl::MutexLock lock(&mutex_);
      all_.push_back(std::move(result));
    };
  }
  std::vector<absl::StatusOr<PushResult>> Await(size_t count) {
    absl::MutexLock lock(&mutex_);
    const auto enough = [this, count]()
                            ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return all_.size() >= count; };
    EXPECT_TRUE(mutex_.AwaitWithTimeout(absl::Condition(&enough), absl::Seconds(30)));
    return all_;
  }
  size_t size() {
    absl::MutexLock lock(&mutex_);
    return all_.size();
  }

 private:
  absl::Mutex mutex_;
  std::vector<absl::StatusOr<PushResult>> all_ ABSL_GUARDED_BY(mutex_);
};

class PushQueueTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    replica_ = std::make_unique<Replica>(db().connection_string());
    queue_ = std::make_unique<PushQueue>(replica_->writer(), workers_, absl::Now);
  }
  void TearDown() override { workers_.Stop(); }

  std::unique_ptr<Push> PushOf(const Device& device, const std::string& entry, Answers& answers) {
    auto push = std::make_unique<Push>();
    push->device = device;
    texts_.push_back(std::make_unique<std::string>(entry));
    push->entries.push_back(CheckAlone(device, *texts_.back(), sha_));
    push->bytes = entry.size();
    push->done = answers.Taker();
    return push;
  }

  int Transactions(const Uuid& cellar_id) {
    const auto transaction =
        CellarTransaction::Begin(replica_->pool(), cellar_id, absl::InfiniteFuture());
    return (*transaction)
        ->work()
        .exec1("select count(distinct received_at) from rundlet.journal")[0]
        .as<int>();
  }

  Sha256 sha_;
  std::vector<std::unique_ptr<std::string>> texts_;
  std::unique_ptr<Replica> replica_;
  WorkerPool workers_{2, 8};
  std::unique_ptr<PushQueue> queue_;
};

TEST_F(PushQueueTest, PushesThatArriveDuringAWriteAreWrittenTogether) {
  TestDevice phone("phone", WriterOf(isolde()));
  TestDevice tablet("tablet", WriterOf(bram()));
  Answers answers;
  std::unique_ptr<CellarTransaction> hold = HoldHead(cellar_id());
  queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C1").bytes, answers));
  ASSERT_TRUE(Await([this] { return WaitingForLocks() == 1; }));
  for (int i = 0; i < 10; ++i) {
    queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C2").bytes, answers));
    queue_->Submit(PushOf(bram(), tablet.RegisterVessel("C3").bytes, answers));
  }
  EXPECT_EQ(answers.size(), 0);
  hold = nullptr;
  uint64_t seq = 0;
  for (const absl::StatusOr<PushResult>& result : answers.Await(21)) {
    ASSERT_TRUE(result.ok()) << result.status();
    EXPECT_THAT(Told(*result), ElementsAre(absl::StrCat("recorded ", ++seq)));
  }
  EXPECT_EQ(Transactions(cellar_id()), 2);
}

TEST_F(PushQueueTest, OneCellarDoesNotHoldUpAnother) {
  const NewDevice other = NewCellar("Second Cellar");
  TestDevice phone("phone", WriterOf(isolde()));
  TestDevice elsewhere("elsewhere", WriterOf(other.device));
  Answers ours;
  Answers theirs;
  std::unique_ptr<CellarTransaction> hold = HoldHead(cellar_id());
  for (int i = 0; i < 20; ++i) {
    queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C1").bytes, ours));
  }
  queue_->Submit(PushOf(other.device, elsewhere.RegisterVessel("C1").bytes, theirs));
  EXPECT_TRUE(theirs.Await(1)[0].ok());
  EXPECT_EQ(ours.size(), 0);
  hold = nullptr;
  EXPECT_EQ(ours.Await(20).size(), 20u);
}

TEST_F(PushQueueTest, TooMuchWaitingIsRefusedWithAHint) {
  TestDevice phone("phone", WriterOf(isolde()));
  Answers taken;
  Answers refused;
  std::unique_ptr<CellarTransaction> hold = HoldHead(cellar_id());
  queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C1").bytes, taken));
  ASSERT_TRUE(Await([this] { return WaitingForLocks() == 1; }));
  const std::string entry = phone.RegisterVessel("C2").bytes;
  for (size_t i = 0; i < kMaxWaitingPushesPerCellar; ++i) {
    queue_->Submit(PushOf(isolde(), entry, taken));
  }
  queue_->Submit(PushOf(isolde(), entry, refused));
  const absl::Status status = refused.Await(1)[0].status();
  EXPECT_EQ(status.code(), absl::StatusCode::kResourceExhausted);
  EXPECT_EQ(ReasonOf(status), "BUSY");
  hold = nullptr;
  for (const auto& result : taken.Await(1 + kMaxWaitingPushesPerCellar)) {
    EXPECT_TRUE(result.ok()) << result.status();
  }
}

TEST_F(PushQueueTest, WhatNobodyWaitsForAnyMoreIsNotBegun) {
  TestDevice phone("phone", WriterOf(isolde()));
  Answers answers;
  auto late = PushOf(isolde(), phone.RegisterVessel("C1").bytes, answers);
  late->deadline = absl::Now() - absl::Seconds(1);
  auto left = PushOf(isolde(), phone.RegisterVessel("C2").bytes, answers);
  left->abandoned = [] { return true; };
  queue_->Submit(std::move(late));
  queue_->Submit(std::move(left));
  for (const auto& result : answers.Await(2)) EXPECT_EQ(ReasonOf(result.status()), "TOO_LATE");
  EXPECT_EQ(Transactions(cellar_id()), 0);
}

// An entry that the database refuses for a defect of ours must not take others with it.
TEST_F(PushQueueTest, APoisonedPushFailsAlone) {
  TestDevice phone("phone", WriterOf(isolde()));
  TestDevice tablet("tablet", WriterOf(bram()));
  {
    pqxx::connection owner(db().connection_string());
    pqxx::nontransaction(owner).exec(
        "alter table rundlet.thing add check (name <> 'poison')");  // stands for the defect
  }
  Answers answers;
  std::unique_ptr<CellarTransaction> hold = HoldHead(cellar_id());
  queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C1").bytes, answers));
  ASSERT_TRUE(Await([this] { return WaitingForLocks() == 1; }));
  queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C2").bytes, answers));
  queue_->Submit(PushOf(bram(), tablet.RegisterVessel("poison").bytes, answers));
  queue_->Submit(PushOf(isolde(), phone.RegisterVessel("C3").bytes, answers));
  hold = nullptr;
  std::vector<std::string> told;
  for (const auto& result : answers.Await(4)) {
    told.push_back(result.ok() ? Told(*result)[0]
                               : std::string(absl::StatusCodeToString(result.status().code())));
  }
  EXPECT_THAT(told, ElementsAre("recorded 1", "recorded 2", "INTERNAL", "recorded 3"));
  EXPECT_EQ(Differences(cellar_id()), "");
}

}  // namespace
}  // namespace rundlet::server

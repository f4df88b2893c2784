// Goal: what would change a closed period is returned, on every server and after every reload, and
// a closing is returned whose writer had not seen everything; nothing else is.
// Method: pushes to a real database by the master of the invented circle, who closes, and by a hand
// who was away; two servers on one database, one of which has just been started.
#include "server/cellar/period_guard.h"

#include <memory>

#include "gmock/gmock.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"

namespace rundlet::server {
namespace {

using rundlet::testing::Draw;
using rundlet::testing::Fill;
using rundlet::testing::kDawnUs;
using rundlet::testing::kDayUs;
using rundlet::testing::kLitre;
using rundlet::testing::TestDevice;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr int64_t kUntil = kDawnUs + 10 * kDayUs;  // 2024-01-11 08:00 UTC
constexpr int64_t kIn = kDawnUs + 5 * kDayUs;
constexpr int64_t kAfter = kDawnUs + 15 * kDayUs;

class PeriodGuardTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    server_ = NewServer();
    phone_ = std::make_unique<TestDevice>("phone", WriterOf(isolde()));
    tablet_ = std::make_unique<TestDevice>("tablet", WriterOf(bram()));
    std::vector<std::string> begun;
    begun.push_back(phone_->RegisterVessel("C1").bytes);
    begun.push_back(phone_->RegisterLot("White").bytes);
    begun.push_back(phone_->Receive("White", {Fill("C1", 20 * kLitre)}).bytes);
    ASSERT_THAT(Push(isolde(), begun), ElementsAre("recorded 1", "recorded 2", "recorded 3"));
  }

  std::unique_ptr<Replica> NewServer() {
    return std::make_unique<Replica>(db().connection_string());
  }

  std::vector<std::string> Push(const Device& device, const std::vector<std::string>& entries) {
    const absl::StatusOr<PushResult> result = server_->Push(device, entries);
    if (!result.ok()) return {result.status().ToString()};
    message_ = result->dispositions.empty() ? "" : result->dispositions.back().message();
    return Told(*result);
  }

  static std::string Close(TestDevice& device, uint64_t journal_size, int64_t until_us = kUntil) {
    v1::Entry draft;
    draft.mutable_period_closed()->set_until_us(until_us);
    draft.mutable_period_closed()->set_journal_size(journal_size);
    draft.mutable_period_closed()->set_state_digest(std::string(32, 'd'));
    return device.At(kAfter).Write(draft).bytes;
  }
  static std::string Reopen(TestDevice& device, int64_t from_us) {
    v1::Entry draft;
    draft.mutable_period_reopened()->set_from_us(from_us);
    draft.mutable_period_reopened()->set_reason("a delivery was forgotten");
    return device.At(kAfter).Write(draft).bytes;
  }
  static WrittenEntry Sample(TestDevice& device, int64_t at_us) {
    return device.At(at_us).Withdraw(Draw("C1", kLitre), v1::ACCOUNT_SAMPLE);
  }

  std::unique_ptr<Replica> server_;
  std::unique_ptr<TestDevice> phone_, tablet_;
  std::string message_;  // of the last entry that was pushed
};

TEST_F(PeriodGuardTest, WhatWouldChangeAClosedPeriodIsReturned) {
  const WrittenEntry known = Sample(*tablet_, kIn);
  EXPECT_THAT(Push(bram(), {known.bytes}), ElementsAre("recorded 4"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 4)}), ElementsAre("recorded 5"));

  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn).bytes}), ElementsAre("returned PERIOD_CLOSED"));
  EXPECT_THAT(message_, AllOf(HasSubstr("closed before 2024-01-11 08:00"),
                              HasSubstr("date it after"), HasSubstr("rundlet period reopen")));
  EXPECT_THAT(Push(bram(), {tablet_->At(kAfter).Void(known.entry).bytes}),
              ElementsAre("returned PERIOD_CLOSED"));
  EXPECT_THAT(Push(isolde(), {Sample(*phone_, kUntil - 1).bytes}),
              ElementsAre("returned PERIOD_CLOSED"))
      << "the master's own too";
  EXPECT_THAT(Push(bram(), {known.bytes}), ElementsAre("already 4"))
      << "what was recorded is answered so for ever";
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kUntil).bytes}), ElementsAre("recorded 6"));
  EXPECT_THAT(Push(bram(), {tablet_->At(kIn).RegisterVessel("C2").bytes}),
              ElementsAre("recorded 7"));
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

// An entry of the period waits for a vessel that nobody has registered.
TEST_F(PeriodGuardTest, WhatWasHeldInAClosedPeriodStaysHeld) {
  const std::string held = tablet_->At(kIn).Receive("White", {Fill("C7", kLitre)}).bytes;
  EXPECT_THAT(Push(bram(), {held}), ElementsAre("recorded 4"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 4)}), ElementsAre("recorded 5"));
  EXPECT_THAT(Push(bram(), {tablet_->At(kAfter).RegisterVessel("C7").bytes}),
              ElementsAre("returned PERIOD_CLOSED"));
  EXPECT_THAT(Push(bram(), {tablet_->At(kAfter).RegisterVessel("C8").bytes}),
              ElementsAre("recorded 6"));
  EXPECT_THAT(Push(isolde(), {Reopen(*phone_, kIn)}), ElementsAre("recorded 7"));
  EXPECT_THAT(Push(bram(), {tablet_->At(kAfter).RegisterVessel("C7").bytes}),
              ElementsAre("recorded 8"));
  EXPECT_THAT(Differences(cellar_id()), IsEmpty());
}

TEST_F(PeriodGuardTest, AnUnseenRegistrationOfSomethingThatThePeriodNamesCounts) {
  const std::string held = tablet_->At(kIn).Receive("White", {Fill("C7", kLitre)}).bytes;
  EXPECT_THAT(Push(bram(), {held, tablet_->At(kAfter).RegisterVessel("C7").bytes}),
              ElementsAre("recorded 4", "recorded 5"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 4)}), ElementsAre("returned NOT_SEEN"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 5)}), ElementsAre("recorded 6"));
}

TEST_F(PeriodGuardTest, AnEntryThatComesBeforeTheClosingInOneTransactionIsNotSeen) {
  const std::string late = Sample(*tablet_, kIn).bytes;
  const auto results =
      server_->PushTogether({{bram(), {late}}, {isolde(), {Close(*phone_, 3)}}, {bram(), {late}}});
  ASSERT_TRUE(results.ok()) << results.status();
  EXPECT_THAT(Told((*results)[0]), ElementsAre("recorded 4"));
  EXPECT_THAT(Told((*results)[1]), ElementsAre("returned NOT_SEEN"));
  EXPECT_THAT((*results)[1].dispositions[0].message(), HasSubstr("2024-01-06 08:00"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 4)}), ElementsAre("recorded 5"))
      << "closed again, having seen it";
}

TEST_F(PeriodGuardTest, OneThatComesAfterTheClosingInOneTransactionIsReturned) {
  const auto results = server_->PushTogether(
      {{isolde(), {Close(*phone_, 3)}}, {bram(), {Sample(*tablet_, kIn).bytes}}});
  ASSERT_TRUE(results.ok()) << results.status();
  EXPECT_THAT(Told((*results)[0]), ElementsAre("recorded 4"));
  EXPECT_THAT(Told((*results)[1]), ElementsAre("returned PERIOD_CLOSED"));
}

TEST_F(PeriodGuardTest, OnlyWhatReachesIntoThePeriodMustHaveBeenSeen) {
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kAfter).bytes, tablet_->RegisterVessel("C2").bytes}),
              ElementsAre("recorded 4", "recorded 5"));
  const WrittenEntry own = Sample(*phone_, kIn);
  EXPECT_THAT(Push(isolde(), {own.bytes, Close(*phone_, 3)}),
              ElementsAre("recorded 6", "recorded 7"))
      << "of others it is about later days, and one's own one knows";
}

TEST_F(PeriodGuardTest, AnUnseenVoidOfSomethingInThePeriodCounts) {
  const WrittenEntry known = Sample(*tablet_, kIn);
  EXPECT_THAT(Push(bram(), {known.bytes, tablet_->At(kAfter).Void(known.entry).bytes}),
              ElementsAre("recorded 4", "recorded 5"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 4)}), ElementsAre("returned NOT_SEEN"));
}

TEST_F(PeriodGuardTest, AJournalThatLostSomethingIsNotClosedByWhoSawIt) {
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 9)}), ElementsAre("returned NOT_SEEN"));
  EXPECT_THAT(message_, HasSubstr("let every device sync"));
}

TEST_F(PeriodGuardTest, ReopenedItIsOpenAndMayBeClosedAgain) {
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 3), Reopen(*phone_, kIn)}),
              ElementsAre("recorded 4", "recorded 5"));
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn - 1).bytes}),
              ElementsAre("returned PERIOD_CLOSED"));
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn).bytes}), ElementsAre("recorded 6"));
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 6)}), ElementsAre("recorded 7"));
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn).bytes}), ElementsAre("returned PERIOD_CLOSED"));
}

TEST_F(PeriodGuardTest, AClosingIsNeitherVoidedNorAmended) {
  const std::string closed = Close(*phone_, 3);
  v1::Entry entry;
  ASSERT_TRUE(entry.ParseFromString(closed));
  EXPECT_THAT(Push(isolde(), {closed, phone_->At(kAfter).Void(entry).bytes}),
              ElementsAre("recorded 4", "returned PERIOD_CLOSED"));
  EXPECT_THAT(message_, HasSubstr("reopen it with a reason"));
}

TEST_F(PeriodGuardTest, AnotherServerAndAReloadDecideTheSame) {
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 3), Reopen(*phone_, kIn)}),
              ElementsAre("recorded 4", "recorded 5"));
  server_ = NewServer();  // nothing in its cache
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn - 1).bytes, Sample(*tablet_, kIn).bytes}),
              ElementsAre("returned PERIOD_CLOSED", "recorded 6"));
  auto other = NewServer();
  std::swap(server_, other);
  EXPECT_THAT(Push(isolde(), {Close(*phone_, 6)}), ElementsAre("recorded 7"));
  std::swap(server_, other);  // which has yet to catch up with that
  EXPECT_THAT(Push(bram(), {Sample(*tablet_, kIn).bytes}), ElementsAre("returned PERIOD_CLOSED"));
}

}  // namespace
}  // namespace rundlet::server

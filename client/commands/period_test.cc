// Goal: what is closed cannot be written into from here, and what has changed in it all the same is
// said over every report. Method: command lines in this process on two devices of the invented
// circle, which exchange entries through a journal that, unlike the real server, takes everything.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "client/store/sync_store.h"
#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

// The server's journal, as far as syncing needs it.
class Journal {
 public:
  void Sync(TestCellar& device) {
    Store store = device.OpenStore();
    SyncStore sync(store);
    int64_t damaged = 0;
    const auto page = sync.OutboxPage(0, 1000, 1 << 24, &damaged);
    ASSERT_TRUE(page.ok()) << page.status();
    std::vector<PushAnswer> answers;
    for (const StoredEntry& entry : *page) {
      rows_.push_back({.seq = rows_.size() + 1, .bytes = entry.bytes});
      answers.push_back({.kind = PushAnswer::Kind::kRecorded, .seq = rows_.size()});
    }
    ASSERT_TRUE(sync.TakeAnswers(*page, answers).ok());
    const auto last = static_cast<size_t>(store.Get(MetaKey::kLastSeq).value_or(0));
    const auto taken = sync.TakePage(absl::MakeConstSpan(rows_).subspan(last), rows_.size());
    ASSERT_TRUE(taken.ok()) << taken.status();
  }

  // The server returns the oldest entry that a device has not synced.
  static void ReturnOne(TestCellar& device, const std::string& reason) {
    Store store = device.OpenStore();
    SyncStore sync(store);
    int64_t damaged = 0;
    const auto page = sync.OutboxPage(0, 1, 1 << 24, &damaged);
    ASSERT_TRUE(page.ok() && page->size() == 1);
    ASSERT_TRUE(sync.TakeAnswers(*page, {{.kind = PushAnswer::Kind::kReturned,
                                          .reason = reason,
                                          .message = "the book is closed"}})
                    .ok());
  }

 private:
  std::vector<PulledRow> rows_;
};

class PeriodTest : public ::testing::Test {
 protected:
  PeriodTest() {
    maud_.Do("vessel new C1 C2 --capacity 25L --at 2025-10-01");
    maud_.Do("receive juice 20L --into C1 --lot Harrow --at 2025-10-01");
    maud_.Do("rack C1 C2 --lees 1L --at 2025-11-02");
    journal_.Sync(maud_);
    journal_.Sync(tobias_);
  }

  // The short id of the last entry that a command saved.
  static std::string Saved(const TestCellar::Result& result) {
    const size_t at = result.out.find("saved as ");
    return at == std::string::npos ? "?" : result.out.substr(at + 9, 8);
  }
  std::string Register() { return maud_.Do("report register --year 2025").out; }

  TestCellar maud_{1}, tobias_{2};  // a master and a hand
  Journal journal_;
};

TEST_F(PeriodTest, ClosingShowsWhatItClosesAndKeepsWritersOut) {
  const auto closed = maud_.Do("period close 2025-12-31");
  EXPECT_THAT(closed.err, HasSubstr("closes 2 entries"));
  EXPECT_THAT(closed.out, HasSubstr("closed the book up to 2026-01-01 00:00"));
  journal_.Sync(maud_);
  journal_.Sync(tobias_);
  for (TestCellar* device : {&maud_, &tobias_}) {
    const auto refused = device->Run("draw sample C2 1L --at 2025-12-31");
    EXPECT_EQ(refused.exit_code, 1);
    EXPECT_THAT(refused.err,
                AllOf(HasSubstr("nothing was saved"), HasSubstr("up to the end of 2025-12-31"),
                      HasSubstr("date it after"), HasSubstr("rundlet period reopen")));
    EXPECT_EQ(device->Run("draw sample C2 1L --at 2025-12-31 --dry-run").exit_code, 1);
  }
  tobias_.Do("draw sample C2 1L --at '2026-01-01 00:00'");
  EXPECT_THAT(maud_.Do("period list").out,
              AllOf(HasSubstr("closed up to the end of 2025-12-31, by "),
                    HasSubstr("it is as it was then"), Not(HasSubstr("nothing is closed"))));
}

TEST_F(PeriodTest, OnlyAMasterClosesAndOnlyWhatIsOver) {
  EXPECT_EQ(tobias_.Run("period close 2025-12-31").exit_code, 4);
  EXPECT_EQ(maud_.Run("period close 2026-03-02").exit_code, 2) << "today is not over";
  EXPECT_EQ(maud_.Run("period reopen 2025-12-31 --reason x").exit_code, 1) << "it is open";
  maud_.Do("period close 2025-12-31");
  EXPECT_EQ(maud_.Run("period close 2025-11-30").exit_code, 1) << "it is closed already";
  journal_.Sync(maud_);
  journal_.Sync(tobias_);
  EXPECT_EQ(tobias_.Run("period reopen 2025-12-31 --reason x").exit_code, 4);
}

TEST_F(PeriodTest, VoidsAndAmendmentsOfWhatIsClosedAreRefused) {
  const auto sample = maud_.Do("draw sample C2 100mL --at 2025-12-01");
  journal_.Sync(maud_);
  const auto close = maud_.Do("period close 2025-12-31");
  EXPECT_EQ(maud_.Run("void " + Saved(sample)).exit_code, 1);
  EXPECT_EQ(maud_.Run("amend " + Saved(sample) + " --at 2026-02-01").exit_code, 1);
  EXPECT_EQ(maud_.Run("amend " + Saved(sample) + " -- draw sample C2 200mL").exit_code, 1);
  EXPECT_THAT(maud_.Run("void " + Saved(close)).err, HasSubstr("stands"));
  EXPECT_THAT(maud_.Run("amend " + Saved(close) + " -- period close 2025-11-30").err,
              HasSubstr("stands"));
}

TEST_F(PeriodTest, AHeldEntryOfAClosedPeriodIsNotAdvisedToBeAmended) {
  maud_.Do("rack C1 C2 --lees 1L --at 2025-12-02");  // empty by then: held
  EXPECT_THAT(maud_.Do("held").out, HasSubstr("rundlet amend"));
  journal_.Sync(maud_);
  maud_.Do("period close 2025-12-31 --anyway 'it stays in doubt'");
  EXPECT_THAT(maud_.Do("held").out,
              AllOf(HasSubstr("C1 is empty"), HasSubstr("rundlet period reopen 2025-12-02"),
                    Not(HasSubstr("rundlet amend")), Not(HasSubstr("rundlet void"))));
}

TEST_F(PeriodTest, WhatIsNotSettledIsInTheWay) {
  maud_.Do("draw sample C2 100mL --at 2025-12-01");
  maud_.Do("rack C1 C2 --lees 1L --at 2025-12-02");  // empty by then: held
  const auto refused = maud_.Run("period close 2025-12-31");
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err,
              AllOf(HasSubstr("2 entries are not synced"), HasSubstr("1 entry is held")));
  journal_.Sync(maud_);
  EXPECT_THAT(maud_.Run("period close 2025-12-31").err,
              AllOf(Not(HasSubstr("not synced")), HasSubstr("1 entry is held")));
  maud_.Do("period close 2025-12-31 --anyway 'the racking stays in doubt'");
  EXPECT_THAT(maud_.Do("log --all").out, HasSubstr("the racking stays in doubt"));
}

TEST_F(PeriodTest, ANewNameIsToldOverTheReport) {
  maud_.Do("period close 2025-12-31");
  EXPECT_THAT(Register(), AllOf(HasSubstr("closed up to the end of 2025-12-31, by "),
                                HasSubstr("it is as it was then")));
  maud_.Do("vessel new C3 --capacity 5L");
  maud_.Do("vessel retire C1");
  EXPECT_THAT(Register(), HasSubstr("it is as it was then")) << "not in it, or no longer in use";
  maud_.Do("lot change Harrow --name Hillside");
  EXPECT_THAT(Register(), AllOf(HasSubstr("what was done is as it was then"), HasSubstr("Hillside"),
                                Not(HasSubstr("CHANGED"))));
}

TEST_F(PeriodTest, AnEntryThatCameAllTheSameIsToldLoudly) {
  const auto late = tobias_.Do("draw sample C2 1L --at 2025-12-01");  // he knows of no closing
  maud_.Do("period close 2025-12-31");
  journal_.Sync(maud_);
  journal_.Sync(tobias_);  // the real server would return it
  journal_.Sync(maud_);
  EXPECT_THAT(Register(), AllOf(HasSubstr("CHANGED SINCE IT WAS CLOSED"),
                                HasSubstr("\n  " + Saved(late) + "  "), HasSubstr("drew 1 L")));
  const auto json = maud_.Do("report inventory --on 2025-12-31 --json").out;
  EXPECT_THAT(json, AllOf(HasSubstr("\"head\":["), HasSubstr("CHANGED SINCE IT WAS CLOSED")));
  const auto csv = maud_.Do("report losses --year 2025 --csv");
  EXPECT_THAT(csv.err, HasSubstr("CHANGED SINCE IT WAS CLOSED"));
  EXPECT_THAT(csv.out, Not(HasSubstr("CHANGED")));
  EXPECT_THAT(maud_.Do("report register --year 2026").out, Not(HasSubstr("closed")));
}

TEST_F(PeriodTest, OneThatCameBeforeTheClosingIsPartOfIt) {
  tobias_.Do("draw sample C2 1L --at 2025-12-01");
  journal_.Sync(tobias_);
  journal_.Sync(maud_);
  maud_.Do("period close 2025-12-31");
  journal_.Sync(maud_);
  journal_.Sync(tobias_);
  EXPECT_THAT(Register(), HasSubstr("it is as it was then"));
  EXPECT_THAT(tobias_.Do("report register --year 2025").out, HasSubstr("it is as it was then"));
}

TEST_F(PeriodTest, ReopenedAndChangedIsTold) {
  maud_.Do("period close 2025-10-31");
  maud_.Do("period close 2025-12-31");
  maud_.Do("period reopen 2025-12-01 --reason 'a sample was forgotten'");
  EXPECT_THAT(Register(),
              AllOf(HasSubstr("closed up to the end of 2025-11-30"),
                    HasSubstr("a sample was forgotten"), HasSubstr("it is as it was then")));
  EXPECT_EQ(maud_.Run("draw sample C2 1L --at 2025-11-30").exit_code, 1);
  const auto drawn = maud_.Do("draw sample C2 1L --at 2025-12-05");
  EXPECT_THAT(Register(), AllOf(HasSubstr("CHANGED SINCE IT WAS CLOSED"), HasSubstr(Saved(drawn))));
  EXPECT_THAT(maud_.Do("report register --from 2025-10-01 --until 2025-10-31").out,
              AllOf(HasSubstr("closed up to the end of 2025-10-31"), Not(HasSubstr("CHANGED")),
                    Not(HasSubstr("reopened"))));
  journal_.Sync(maud_);
  maud_.Do("period close 2025-12-31");
  EXPECT_THAT(Register(), AllOf(HasSubstr("it is as it was then"), Not(HasSubstr("CHANGED")),
                                HasSubstr("a sample was forgotten")))
      << "closed anew as it is now; that it was reopened is still said";
}

TEST_F(PeriodTest, AReturnedEntryIsDatedAnewOrHandedInAgain) {
  const auto late = tobias_.Do("draw sample C2 1L --at 2025-12-01");
  maud_.Do("period close 2025-12-31");
  journal_.Sync(maud_);
  Journal::ReturnOne(tobias_, "PERIOD_CLOSED");
  journal_.Sync(tobias_);
  EXPECT_THAT(tobias_.Do("held").out, HasSubstr("rundlet amend " + Saved(late) + " --at TIME"));
  EXPECT_EQ(tobias_.Run("amend " + Saved(late)).exit_code, 1) << "it is still closed";
  const auto anew = tobias_.Do("amend " + Saved(late) + " --at 2026-01-02");
  EXPECT_THAT(anew.out, AllOf(HasSubstr("drew 1 L"), HasSubstr("on 2026-01-02")));
  EXPECT_THAT(tobias_.Do("held").out, HasSubstr("nothing is held"));
  EXPECT_THAT(tobias_.Do("show C2").out, HasSubstr("18 L"));
}

TEST_F(PeriodTest, AmendingWithoutACommandNeedsATime) {
  const auto drawn = maud_.Do("draw sample C2 1L --at 2026-01-05");
  EXPECT_EQ(maud_.Run("amend " + Saved(drawn)).exit_code, 2);
  maud_.Do("amend " + Saved(drawn) + " --at 2026-01-06");
  EXPECT_THAT(maud_.Do("log C2").out, HasSubstr("2026-01-06"));
}

}  // namespace
}  // namespace rundlet::client

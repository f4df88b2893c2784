// Case 12: one bad entry before a thousand good ones. Method: a real client's outbox begins with an
// entry that is malformed, too large, of a kind that nobody knows yet, or impossible; a thousand
// readings follow. One sync must get all thousand into the journal, and the first one where it
// belongs: returned, still waiting, or held.
#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/outbox.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);
constexpr int kGood = 1000;

struct Bad {
  const char* what;
  std::string (*put)(Outbox&);
  const char* state;  // in the book, at the end
};

// An observation of nothing.
std::string Malformed(Outbox& outbox) {
  v1::Entry draft;
  draft.mutable_observation();
  return outbox.PutAnyhow(draft);
}
std::string TooLarge(Outbox& outbox) {
  return outbox.PutAnyhow(draft::Observation("T1", std::string(70'000, 'x')));
}
std::string OfNewerKind(Outbox& outbox) { return outbox.Put(outbox.device().WriteOfNewerKind()); }
std::string Impossible(Outbox& outbox) {
  return outbox.Put(
      outbox.device().Withdraw(Draw("a vessel that nobody has", kLitre), v1::ACCOUNT_SAMPLE));
}

const Bad kBad[] = {{"malformed", Malformed, "returned"},
                    {"too large", TooLarge, "returned"},
                    {"of a newer kind", OfNewerKind, "outbox"},
                    {"impossible", Impossible, "recorded"}};

TEST_F(FaultCase, Case12_OneBadEntryBeforeThousand) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  for (const Bad& bad : kBad) {
    SCOPED_TRACE(bad.what);
    ++tally().runs;
    const std::string home = fleet.JoinHome(bad.what);
    Outbox outbox(home);
    const std::string bad_id = bad.put(outbox);
    const std::string barrel = absl::StrCat("barrel of ", home);
    outbox.Put(outbox.device().RegisterVessel(barrel));
    for (int i = 1; i < kGood; ++i) outbox.Put(outbox.device().Observe(barrel));
    outbox.Save(fleet.promises());
    const Finished sync = fleet.Sync(ClientProcess(home));
    EXPECT_TRUE(EndedWell(sync)) << sync.out << sync.err;
    int64_t good = 0;
    for (const BookLine& line : ReadBook(home)) {
      if (line.entry_id == bad_id) {
        EXPECT_EQ(line.state, bad.state);
      } else if (line.own && line.state == "recorded") {
        ++good;
      }
    }
    EXPECT_GE(good, kGood);
    fleet.ExpectSavedIn(home);
    if (std::string(bad.state) == "outbox") fleet.LeaveOut(home);  // it waits for a newer server
  }
  EXPECT_EQ(fleet.server().Sql("select count(*) from rundlet.held").out, "1\n");
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

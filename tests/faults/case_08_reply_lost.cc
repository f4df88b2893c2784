// Case 8: the line breaks after so many bytes, in either direction, as where the answer to a commit
// is lost. Method: the real client syncs through a gate that slams at places spread over everything
// that a clean sync sends; then it syncs again. At some places the server had recorded what the
// device still had in its outbox; the second answer must be the same place in the journal.
#include "absl/strings/str_cat.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/gate.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(20);

class Case08 {
 public:
  Case08(Fleet& fleet, Gate& gate) : fleet_(fleet), gate_(gate) {
    device_.Do({"server", "--address", gate_.address()});
  }

  // What a clean sync of an entry sends.
  int64_t Total(Gate::Way way) {
    fleet_.MustSave(device_, "draw sample T1 10mL");
    gate_.Open();
    EXPECT_EQ(fleet_.Sync(device_).exit_code, 0);
    return gate_.passed(way);
  }
  // How far a sync came whose line was cut.
  enum class Came { kNotToCommit, kToCommit, kToAnswer };
  Came Cut(Gate::Way way, int64_t bytes) {
    fleet_.MustSave(device_, "draw sample T1 10mL");
    gate_.CutAfter(way, bytes);
    const Finished cut = fleet_.Sync(device_);
    EXPECT_TRUE(cut.exit_code == 0 || cut.exit_code == 5) << cut.exit_code << cut.out << cut.err;
    const bool waits = CountIn(ReadBook(device_.home()), "outbox") > 0;
    const bool lost = RecordedAndNotKnown() > 0;
    lost_answers_ += lost ? 1 : 0;
    const absl::Time healed = absl::Now();
    gate_.Open();
    const Finished again = fleet_.Sync(device_);
    EXPECT_EQ(again.exit_code, 0) << again.out << again.err;
    EXPECT_EQ(CountIn(ReadBook(device_.home()), "outbox"), 0);
    longest_ = std::max(longest_, absl::Now() - healed);
    return lost ? Came::kToCommit : waits ? Came::kNotToCommit : Came::kToAnswer;
  }
  // Halves what is sent to the client until a cut falls between a commit and its answer. Returns
  // how many it took.
  int HuntForLostAnswer(int64_t total) {
    int cuts = 0;
    for (int64_t low = 0, high = total; lost_answers_ == 0 && low + 1 < high; ++cuts) {
      const int64_t middle = (low + high) / 2;
      (Cut(Gate::kToClient, middle) == Came::kToAnswer ? high : low) = middle;
    }
    return cuts;
  }
  int64_t lost_answers() const { return lost_answers_; }
  absl::Duration longest() const { return longest_; }

 private:
  // Whether the server has what is in the outbox. Its places are held against the second answer.
  int64_t RecordedAndNotKnown() {
    int64_t count = 0;
    for (const BookLine& line : ReadBook(device_.home())) {
      if (line.state != "outbox") continue;
      const std::string seq = fleet_.SeqOf(line.entry_id);
      if (seq.empty()) continue;
      fleet_.promises().Acknowledged(line.entry_id, std::stoull(seq));
      ++count;
    }
    return count;
  }

  Fleet& fleet_;
  Gate& gate_;
  ClientProcess& device_ = fleet_.maud();
  int64_t lost_answers_ = 0;
  absl::Duration longest_;
};

TEST_F(FaultCase, Case08_LineCutAtAnyByte) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Gate gate(fleet.server().address());
  Case08 play(fleet, gate);
  for (const Gate::Way way : {Gate::kToServer, Gate::kToClient}) {
    const int64_t total = play.Total(way);
    ASSERT_GT(total, 1000);
    const int places = way == Gate::kToClient ? Times(24, 600) : Times(8, 300);
    for (int i = 0; i < places && !HasFailure(); ++i) {
      const int64_t bytes = total * i / places + random().Between(1, total / places);
      SCOPED_TRACE(absl::StrCat(way == Gate::kToServer ? "to the server" : "to the client",
                                ", cut after ", bytes, " of ", total));
      ++tally().runs;
      play.Cut(way, bytes);
    }
  }
  tally().runs += play.HuntForLostAnswer(play.Total(Gate::kToClient));
  EXPECT_GE(play.lost_answers(), 1) << "no cut fell between a commit and its answer";
  Recovered(play.longest(), kBound);
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

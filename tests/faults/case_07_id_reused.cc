// Case 7: an id is used again with other bytes. Method: a device of our own pushes an entry, then
// the same id with each field of the envelope changed in turn, then its running number under a new
// id; and a real client has such an entry in its outbox. All of them come back with the reason, the
// first one stands, and the client keeps what was returned, and says so.
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/store/store.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(20);

// The entry with one thing changed, and the same id.
std::vector<v1::Entry> Changed(const v1::Entry& entry) {
  std::vector<v1::Entry> changed(6, entry);
  changed[0].set_note("something else");
  changed[1].set_effective_at_us(entry.effective_at_us() + 1);
  changed[2].set_written_at_us(entry.written_at_us() + 1);
  changed[3].set_utc_offset_min(entry.utc_offset_min() + 60);
  changed[4].set_device_seq(entry.device_seq() + 1000);
  changed[5].mutable_observation()->set_subject_id(IdOf("another vessel").ToBytes());
  return changed;
}

void ExpectReturned(const Pusher::Answer& answer, const std::string& what) {
  ASSERT_TRUE(answer.status.ok()) << answer.status.error_message();
  ASSERT_EQ(answer.response.dispositions_size(), 1);
  const v1::Disposition& disposition = answer.response.dispositions(0);
  EXPECT_EQ(disposition.kind(), v1::DISPOSITION_KIND_RETURNED) << what;
  EXPECT_EQ(disposition.reason(), v1::RETURN_REASON_ID_REUSED) << what;
  EXPECT_NE(disposition.message(), "") << what;
}

// Puts an entry of the device's own into its outbox that has the id of another.
void SaveUnderId(const std::string& home, const std::string& entry_id) {
  auto store = client::Store::Open(client::StoreHome(home));
  ASSERT_TRUE(store.ok()) << store.status();
  const auto head = store->Head();
  ASSERT_TRUE(head.ok()) << head.status();
  TestDevice writer("case 7", store->device().writer(), *head);
  const WrittenEntry rival =
      writer.At(absl::ToUnixMicros(absl::Now())).WithId(*Uuid::Parse(entry_id)).Observe("T1");
  ASSERT_TRUE(store->Append({rival}, *head).ok());
}

TEST_F(FaultCase, Case07_IdReusedWithOtherBytes) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  Pusher hand(fleet.JoinHome("Hand 1"), TheFaultOptions().seed, fleet.promises());
  const std::vector<WrittenEntry> first = hand.WriteMany(4);
  ASSERT_TRUE(hand.PushUntilDecided(first, absl::Now() + kBound)) << hand.last_error();
  const WrittenEntry kept = hand.device().Observe("device-1-full");
  ASSERT_TRUE(hand.PushUntilDecided({kept}, absl::Now() + kBound)) << hand.last_error();
  for (const v1::Entry& changed : Changed(kept.entry)) {
    ++tally().runs;
    ExpectReturned(hand.Push({changed.SerializeAsString()}), changed.ShortDebugString());
  }
  v1::Entry same_number = kept.entry;
  same_number.set_entry_id(IdOf("an id of its own").ToBytes());
  ++tally().runs;
  ExpectReturned(hand.Push({same_number.SerializeAsString()}), "the running number again");
  ASSERT_TRUE(hand.PushUntilDecided({kept}, absl::Now() + kBound)) << "the first one stands";

  ClientProcess& tobias = fleet.Join("Tobias Wren");
  fleet.MustSave(tobias, "draw sample T1 10mL");
  const std::string taken = EntryId(kept.entry).ToString();
  ASSERT_NO_FATAL_FAILURE(SaveUnderId(fleet.maud().home(), taken));
  ++tally().runs;
  const Finished sync = fleet.Sync(fleet.maud());
  EXPECT_TRUE(EndedWell(sync)) << sync.out << sync.err;
  for (const BookLine& line : ReadBook(fleet.maud().home())) {
    if (line.state == "returned") {
      EXPECT_EQ(line.reason, "ID_REUSED");
    }
  }
  EXPECT_EQ(CountIn(ReadBook(fleet.maud().home()), "returned"), 1) << "it is kept";

  // A copy of a whole home: two that write the same running numbers.
  const ClientProcess copy(fleet.folder() + "/copy");
  ASSERT_EQ(RunProgram({"/bin/cp", "-a", tobias.home(), copy.home()}).exit_code, 0);
  fleet.MustSave(copy, "draw sample T1 30mL");
  EXPECT_TRUE(EndedWell(fleet.Sync(copy)));
  fleet.MustSave(tobias, "draw sample T1 20mL");
  ++tally().runs;
  const Finished second = fleet.Sync(tobias);
  EXPECT_EQ(second.exit_code, 6) << second.out << second.err;
  EXPECT_TRUE(absl::StrContains(second.err, "alarm:")) << second.out << second.err;
  EXPECT_EQ(CountIn(ReadBook(tobias.home()), "returned"), 1) << "it is kept";
  fleet.Settle(kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

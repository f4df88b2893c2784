// Case 13: with 500 entries waiting the device's token is no good any more - swapped for another's,
// lost, expired with its invitation, or revoked. Method: the real client syncs and is refused; its
// outbox must stay whole, and come to the server once the token is back, or by a new invitation.
#include <filesystem>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/outbox.h"

namespace rundlet::testing {
namespace {

constexpr absl::Duration kBound = absl::Seconds(60);
constexpr int kWaiting = 500;

// A device with so many entries in its outbox.
std::string HomeWithWork(Fleet& fleet, const std::string& member) {
  const std::string home = fleet.JoinHome(member);
  Outbox outbox(home);
  const std::string barrel = absl::StrCat("barrel of ", home);
  outbox.Put(outbox.device().RegisterVessel(barrel));
  for (int i = 1; i < kWaiting; ++i) outbox.Put(outbox.device().Observe(barrel));
  outbox.Save(fleet.promises());
  return home;
}

void ExpectRefusedAndWhole(Fleet& fleet, const std::string& home) {
  const Finished refused = fleet.Sync(ClientProcess(home));
  EXPECT_EQ(refused.exit_code, 4) << refused.out << refused.err;
  EXPECT_NE(refused.err, "");
  EXPECT_EQ(CountIn(ReadBook(home), "outbox"), kWaiting);
  fleet.ExpectSavedIn(home);
}

void ExpectSynced(Fleet& fleet, const std::string& home) {
  const Finished synced = fleet.Sync(ClientProcess(home));
  EXPECT_TRUE(EndedWell(synced)) << synced.out << synced.err;
  EXPECT_EQ(CountIn(ReadBook(home), "outbox"), 0);
}

TEST_F(FaultCase, Case13_TokenRefusedWithFiveHundredWaiting) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());

  const std::string swapped = HomeWithWork(fleet, "Hand 1");
  const std::string token = swapped + "/token";
  const auto good = client::ReadFile(token);
  ASSERT_TRUE(good.ok()) << good.status();
  std::string other = *good;
  other[other.find('.') + 60] = other[other.find('.') + 60] == 'A' ? 'B' : 'A';
  ASSERT_TRUE(client::WritePrivateFile(token, other).ok());
  ++tally().runs;
  ExpectRefusedAndWhole(fleet, swapped);
  ASSERT_TRUE(client::WritePrivateFile(token, *good).ok());
  ExpectSynced(fleet, swapped);

  const std::string revoked = HomeWithWork(fleet, "Hand 2");
  const std::string device_id = JsonValue(ClientProcess(revoked).Do("status --json"), "device_id");
  const Finished put_out =
      fleet.server().Admin({"device", "revoke", "--cellar", kCircle, device_id});
  ASSERT_EQ(put_out.exit_code, 0) << put_out.err;
  ++tally().runs;
  // The server that did not revoke it itself may believe it for some seconds more; what it hands in
  // is refused at once, in any case.
  EXPECT_TRUE(
      Await([&] { return fleet.Sync(ClientProcess(revoked)).exit_code == 4; }, absl::Seconds(10)));
  ExpectRefusedAndWhole(fleet, revoked);
  const std::string gone = fleet.server().Invite(kCircle, "Hand 2");
  ASSERT_EQ(fleet.server()
                .Sql("update rundlet.invitation set created_at = created_at - interval '2 d', "
                     "expires_at = created_at - interval '1 d' where used_at is null")
                .exit_code,
            0);
  ++tally().runs;
  EXPECT_NE(ClientProcess(revoked).Try({"join", gone}).exit_code, 0) << "it has expired";
  EXPECT_EQ(CountIn(ReadBook(revoked), "outbox"), kWaiting);
  ClientProcess(revoked).Do({"join", fleet.server().Invite(kCircle, "Hand 2")});
  ExpectSynced(fleet, revoked);

  Recovered(fleet.Settle(kBound), kBound);
  Audit(fleet);
}

}  // namespace
}  // namespace rundlet::testing

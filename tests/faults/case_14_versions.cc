// Case 14: client and server are of different versions, with entries waiting. Method: this build
// plays against what it was, and against what it may become, as far as both can be made without
// another build: a book in the tables of version 1; a book, a database and entries of versions that
// do not exist yet; and a journal into which a newer server has taken a kind that this one does not
// know - that row is put there by SQL, with its device's good signature. Nothing may be dropped in
// any of them, and each must say what is needed. What a later build does with its own new things is
// for its own tests.
#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/store/db.h"
#include "tests/faults/book.h"
#include "tests/faults/case.h"
#include "tests/faults/outbox.h"
#include "tests/faults/pusher.h"

namespace rundlet::testing {
namespace {

using ::testing::HasSubstr;

constexpr absl::Duration kBound = absl::Seconds(60);

void InBook(const std::string& home, const std::string& sql) {
  auto db = client::Db::Open(home + "/cellar.db", /*create=*/false);
  ASSERT_TRUE(db.ok()) << db.status();
  const absl::Status done = db->Exec(sql);
  ASSERT_TRUE(done.ok()) << done;
}

void SaveSome(Fleet& fleet, const ClientProcess& device) {
  for (int i = 0; i < 3; ++i) fleet.MustSave(device, "draw sample T1 10mL");
}

void ExpectWaiting(const std::string& home, int64_t entries) {
  EXPECT_EQ(CountIn(ReadBook(home), "outbox"), entries);
}

// What version 2 brought is gone.
constexpr char kBackToVersion1[] =
    "BEGIN; DROP TABLE seal; DROP TABLE device_key; ALTER TABLE entry DROP COLUMN received_at_us;"
    "DELETE FROM meta WHERE name IN ('sealed_up_to', 'own_clock_us', 'server_clock_us');"
    "PRAGMA user_version=1; COMMIT";

// Rows as a server would write them that knows more kinds.
std::string RowsOfNewerServer(const Fleet& fleet, const Pusher& hand, const WrittenEntry& entry,
                              uint64_t seq) {
  v1::Seal seal;
  seal.set_last_seq(seq);
  seal.set_device_id(entry.entry.device_id());
  v1::SealRun& run = *seal.add_parts()->mutable_run();
  run.set_first_seq(seq);
  run.set_count(1);
  seal.set_signature(hand.Sign({entry.bytes}));
  const auto hex = [](const std::string& bytes) {
    return absl::StrCat("'\\x", absl::BytesToHexString(bytes), "'::bytea");
  };
  const std::string cellar = absl::StrCat("'", fleet.circle_id(), "'");
  const std::string device = absl::StrCat("'", hand.writer().device_id.ToString(), "'");
  return absl::StrCat(
      "begin; insert into rundlet.journal values (", cellar, ", ", seq, ", '",
      EntryId(entry.entry).ToString(), "', ", device, ", ", entry.entry.device_seq(), ", ",
      entry.entry.effective_at_us(), ", 'fortune_told', sha256('\\x00'::bytea || ",
      hex(entry.bytes), "), ", hex(entry.bytes), ", now()); insert into rundlet.seal values (",
      cellar, ", ", seq, ", ", device, ", ", hex(seal.SerializeAsString()),
      "); update rundlet.journal_head set size = ", seq, " where cellar_id = ", cellar, "; commit");
}

TEST_F(FaultCase, Case14_VersionsApart) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& tobias = fleet.Join("Tobias Wren");

  SaveSome(fleet, tobias);
  ASSERT_NO_FATAL_FAILURE(InBook(tobias.home(), kBackToVersion1));
  ++tally().runs;
  EXPECT_EQ(tobias.Try("status").exit_code, 0) << "an older book is brought up to date";
  ExpectWaiting(tobias.home(), 3);
  EXPECT_EQ(fleet.Sync(tobias).exit_code, 0);
  ExpectWaiting(tobias.home(), 0);

  SaveSome(fleet, tobias);
  ASSERT_NO_FATAL_FAILURE(InBook(tobias.home(), "PRAGMA user_version=3"));
  ++tally().runs;
  for (const char* command : {"status", "draw sample T1 10mL", "sync", "repair"}) {
    const Finished refused = tobias.Try(command);
    EXPECT_NE(refused.exit_code, 0) << command;
    EXPECT_THAT(refused.err, HasSubstr("newer Rundlet")) << command;
  }
  ExpectWaiting(tobias.home(), 3);
  ASSERT_NO_FATAL_FAILURE(InBook(tobias.home(), "PRAGMA user_version=2"));
  EXPECT_EQ(fleet.Sync(tobias).exit_code, 0);

  const std::string newer = fleet.JoinHome("Isolde Thornbury");
  Outbox outbox(newer);
  outbox.Put(outbox.device().RegisterVessel("newer barrel"));
  outbox.Put(outbox.device().WriteOfNewerKind());
  outbox.Put(outbox.device().Observe("newer barrel"));
  outbox.Put(outbox.device().WriteInNewerFormat(v1::Entry()));
  outbox.Put(outbox.device().Observe("newer barrel"));
  outbox.Save(fleet.promises());
  ++tally().runs;
  const Finished waits = fleet.Sync(ClientProcess(newer));
  EXPECT_EQ(waits.exit_code, 0) << waits.err;
  EXPECT_THAT(waits.out, HasSubstr("wait for a newer server"));
  ExpectWaiting(newer, 2);
  fleet.ExpectSavedIn(newer);
  fleet.LeaveOut(newer);

  SaveSome(fleet, tobias);
  ASSERT_EQ(fleet.server()
                .Sql("insert into rundlet.schema_migration values (1000, 'of_tomorrow', "
                     "sha256('x'), now())")
                .exit_code,
            0);
  ++tally().runs;
  const Finished refused = fleet.server().Admin({"cellar", "list"});
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err, HasSubstr("the database is newer than this program"));
  ASSERT_EQ(
      fleet.server().Sql("delete from rundlet.schema_migration where number = 1000").exit_code, 0);
  fleet.Settle(kBound);
  Audit(fleet);
}

// By itself, as there is no way back from it but an upgrade: the audit is of what must be kept.
TEST_F(FaultCase, Case14_JournalOfNewerServer) {
  Fleet fleet;
  ASSERT_NO_FATAL_FAILURE(fleet.Begin());
  ClientProcess& tobias = fleet.Join("Tobias Wren");
  Pusher hand(fleet.JoinHome("Hand 1"), TheFaultOptions().seed, fleet.promises());
  ASSERT_TRUE(hand.PushUntilDecided(hand.WriteMany(3), absl::Now() + kBound)) << hand.last_error();
  fleet.Settle(kBound);
  Audit(fleet);

  SaveSome(fleet, tobias);
  const WrittenEntry newer = hand.device().WriteOfNewerKind();
  const uint64_t seq =
      std::stoull(fleet.server()
                      .Sql(absl::StrCat("select size + 1 from rundlet.journal_head "
                                        "where cellar_id = '",
                                        fleet.circle_id(), "'"))
                      .out);
  ASSERT_NE(seq % 16, 0u) << "a part of the tree would be due; write one entry more or less";
  const Finished put = fleet.server().Sql(RowsOfNewerServer(fleet, hand, newer, seq));
  ASSERT_EQ(put.exit_code, 0) << put.err;
  ++tally().runs;
  const Finished pushing = tobias.Try("sync");
  EXPECT_NE(pushing.exit_code, 0) << pushing.out;
  EXPECT_THAT(pushing.err, HasSubstr("must upgrade it"));
  ExpectWaiting(tobias.home(), 3);
  // One that has nothing to hand in gets what there is, and knows that it cannot read it.
  ++tally().runs;
  const ClientProcess& maud = fleet.maud();
  EXPECT_TRUE(EndedWell(maud.Try("sync")));
  EXPECT_EQ(CountIn(ReadBook(maud.home()), "recorded"), static_cast<int64_t>(seq));
  const Finished board = maud.Try("board");
  EXPECT_TRUE(absl::StrContains(board.out + board.err, "upgrade")) << board.out << board.err;
  EXPECT_THAT(maud.Do("audit"), HasSubstr("all is well"));
}

}  // namespace
}  // namespace rundlet::testing

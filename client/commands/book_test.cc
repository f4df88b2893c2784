// Goal: entries can be found, amended, voided and dated back; the book says what follows from that;
// every answer has a form for programs. Method: command lines in this process; JSON is read back
// with the protobuf parser.
#include <gmock/gmock.h>
#include <google/protobuf/struct.pb.h>
#include <google/protobuf/util/json_util.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "client/base/file.h"
#include "client/cellar/cellar.h"
#include "client/cli/run.h"
#include "client/store/sync_store.h"
#include "client/testing/entries.h"
#include "client/testing/test_cellar.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet::client {
namespace {

using ::testing::AllOf;
using ::testing::ContainsRegex;
using ::testing::HasSubstr;
using ::testing::Not;

class BookTest : public ::testing::Test {
 protected:
  BookTest() {
    cellar_.Do("vessel new C1 C2 C3 --capacity 23L");
    cellar_.Do("receive juice 20L --into C1 --lot 'Orchard White 26'");
    cellar_.Advance(absl::Hours(1));
  }
  // The short id on the last line of a change.
  static std::string SavedAs(const TestCellar::Result& result) {
    const size_t at = result.out.rfind("saved as ");
    return at == std::string::npos ? "" : result.out.substr(at + 9, 8);
  }
  std::string Board() { return cellar_.Do("board").out; }

  TestCellar cellar_;
};

TEST_F(BookTest, AmendStandsInTheSamePlace) {
  const std::string racked = SavedAs(cellar_.Do("rack C1 C2 --lees 0.7L"));
  cellar_.Advance(absl::Hours(1));
  cellar_.Do("rack C2 C3");
  const auto amended =
      cellar_.Do("amend " + racked + " --reason misread -- rack C1 C2 --lees 0.5L");
  EXPECT_THAT(amended.out, AllOf(HasSubstr("instead of " + racked),
                                 HasSubstr("C3  19.3 L Orchard White 26 -> 19.5 L")));
  EXPECT_THAT(cellar_.Do("log").out,
              ContainsRegex("amended, not synced +racked all of C1 into C2, 700 mL to lees"));
  const auto again = cellar_.Run("amend " + racked + " -- rack C1 C2 --lees 0.6L");
  EXPECT_THAT(again.err, HasSubstr("was amended already: amend " + SavedAs(amended)));
  cellar_.Do("amend " + SavedAs(amended) + " -- rack C1 C2 --lees 0.6L");
  EXPECT_THAT(Board(), ContainsRegex("C3 +19.4 L"));
}

TEST_F(BookTest, AmendReckonsRatesByTheWineOfThen) {
  cellar_.Do("packet new sugar --name SUG-1 --amount 2kg");
  const std::string added = SavedAs(cellar_.Do("add C1 SUG-1 10g"));
  cellar_.Do("draw dump C1 10L");
  EXPECT_THAT(cellar_.Do("amend " + added + " -- add C1 SUG-1 1g/L").out,
              HasSubstr("added 20 g SUG-1"));
}

TEST_F(BookTest, AmendNeedsACommandThatWrites) {
  const std::string read = SavedAs(cellar_.Do("read C1 1.045"));
  EXPECT_EQ(cellar_.Run("amend " + read).exit_code, 2);
  EXPECT_EQ(cellar_.Run("amend " + read + " -- board").exit_code, 2);
  EXPECT_EQ(cellar_.Run("amend " + read + " -- read C1 nonsense").exit_code, 2);
  EXPECT_EQ(cellar_.Run("amend zzzz -- read C1 1.046").exit_code, 2);
  EXPECT_EQ(cellar_.Run("amend abcd1234 -- read C1 1.046").exit_code, 1);
}

TEST_F(BookTest, VoidTakesAnEntryOut) {
  const std::string racked = SavedAs(cellar_.Do("rack C1 C2"));
  EXPECT_THAT(cellar_.Do("void " + racked + " --reason slip").out,
              HasSubstr("C1  empty -> 20 L Orchard White 26"));
  EXPECT_THAT(cellar_.Do("log").out, ContainsRegex("void, not synced +racked all of C1"));
  EXPECT_EQ(cellar_.Run("void " + racked).exit_code, 1);
}

TEST_F(BookTest, ShowSaysWhatBecameOfAnEntry) {
  const std::string racked = SavedAs(cellar_.Do("rack C1 C2"));
  const std::string voided = SavedAs(cellar_.Do("void " + racked + " --reason slip"));
  EXPECT_THAT(cellar_.Do("show " + racked).out, HasSubstr(", entry " + voided + ": slip"));
  const std::string read = SavedAs(cellar_.Do("read C1 1.045"));
  const std::string better = SavedAs(cellar_.Do("amend " + read + " -- read C1 1.046"));
  EXPECT_THAT(cellar_.Do("show " + read).out,
              HasSubstr(", entry " + better + ", which stands in its place"));
}

TEST_F(BookTest, AThingWhoseRegistrationIsVoidedKeepsItsName) {
  const std::string made = SavedAs(cellar_.Do("vessel new D1 --capacity 5L"));
  const std::string racked = SavedAs(cellar_.Do("rack C1=4L D1"));
  const auto voided = cellar_.Do("void " + made);
  EXPECT_THAT(
      voided.out,
      AllOf(HasSubstr("held from now on: " + racked + " racked 4 L of C1 into D1"),
            HasSubstr("the registration of D1 counts no longer"), Not(HasSubstr("unnamed"))));
  EXPECT_THAT(cellar_.Do("log").out, HasSubstr("racked 4 L of C1 into D1"));
}

TEST_F(BookTest, BackDatedEntriesShowTheirEffectOnNow) {
  cellar_.Do("rack C1 C2");
  const auto past = cellar_.Do("draw sample C1 100mL --at 10:30");
  EXPECT_THAT(past.out, AllOf(HasSubstr("on 2026-03-02 10:30"),
                              HasSubstr("C2  20 L Orchard White 26 -> 19.9 L")));
  const auto breaks = cellar_.Do("draw dump C1 all --at 10:40");
  EXPECT_THAT(breaks.out, AllOf(HasSubstr("C2  19.9 L Orchard White 26 -> empty"),
                                HasSubstr("held from now on: ")));
}

TEST_F(BookTest, TheFutureIsRefused) {
  const auto refused = cellar_.Run("read C1 1.045 --at '2026-03-03 10:00'");
  EXPECT_EQ(refused.exit_code, 2);
  EXPECT_EQ(cellar_.Run("read C1 1.045 --at someday").exit_code, 2);
}

TEST_F(BookTest, NothingIsFiledBeforeWhatWasSeenOfTheSameVessel) {
  cellar_.Advance(absl::Hours(5));
  cellar_.Do("rack C1 C2");
  cellar_.Advance(absl::Hours(-5));  // the clock was ahead and is right again
  const auto read = cellar_.Do("read C2 1.045");
  EXPECT_THAT(read.err, AllOf(HasSubstr("the clock of this device says 2026-03-02 11:00"),
                              HasSubstr("is of 2026-03-02 16:00"),
                              HasSubstr("This is filed at 2026-03-02 16:00")));
  EXPECT_THAT(Board(), HasSubstr("1.045 SG")) << "the reading counts: it stands after the racking";
  EXPECT_THAT(cellar_.Do("vessel new C4").err,
              AllOf(HasSubstr("the clock of this device"), Not(HasSubstr("This is filed at"))))
      << "what names nothing of it is filed now";
}

TEST_F(BookTest, TheLogShowsTheLatest) {
  for (int i = 0; i < 45; ++i) cellar_.Do("read C1 1.045");
  const auto log = cellar_.Do("log");
  EXPECT_THAT(log.err, HasSubstr("10 earlier ones are left out"));
  EXPECT_THAT(cellar_.Do("log --all").out, HasSubstr("registered vessel C1"));
  EXPECT_THAT(cellar_.Do("log --limit 3 --all").err, "");
  EXPECT_THAT(cellar_.Do("log C2 --all").out, Not(HasSubstr("1.045")));
  EXPECT_EQ(cellar_.Run("log --limit none").exit_code, 2);
}

TEST_F(BookTest, TheBooksAndTheDigest) {
  EXPECT_THAT(cellar_.Do("books").out, HasSubstr("vessel:C1  20000000"));
  const std::string before = cellar_.Do("digest").out;
  cellar_.Do("read C1 1.045");
  EXPECT_NE(cellar_.Do("digest").out, before);
}

template <typename Message>
Message FromJson(const std::string& json) {
  Message message;
  const auto status = google::protobuf::util::JsonStringToMessage(json, &message);
  EXPECT_TRUE(status.ok()) << status.ToString() << "\n" << json;
  return message;
}

TEST_F(BookTest, ChangesHaveAStableForm) {
  const auto racked = cellar_.Do("rack C1 C2 --lees 0.7L --json");
  EXPECT_EQ(racked.err, "");
  const auto json = FromJson<google::protobuf::Struct>(racked.out);
  EXPECT_EQ(json.fields().at("entry_id").string_value().size(), 36u);
  EXPECT_TRUE(json.fields().at("saved").bool_value());
  EXPECT_TRUE(json.fields().at("held").has_null_value());
  EXPECT_EQ(json.fields().at("changes").list_value().values_size(), 2);
  const auto held = FromJson<google::protobuf::Struct>(cellar_.Do("rack C3 C1 --json").out);
  EXPECT_THAT(held.fields().at("held").string_value(), HasSubstr("C3 is empty"));
  const auto dry =
      FromJson<google::protobuf::Struct>(cellar_.Do("rack C2 C1 --json --dry-run").out);
  EXPECT_FALSE(dry.fields().at("saved").bool_value());
}

TEST_F(BookTest, ViewsHaveTheFormOfTheirMessages) {
  cellar_.Do("read C1 1.045");
  cellar_.Do("rack C3 C2");
  const auto board = FromJson<v1::Board>(cellar_.Do("board --json").out);
  ASSERT_EQ(board.vessels_size(), 3);
  EXPECT_EQ(board.vessels(0).volume_ul(), 20'000'000);
  EXPECT_EQ(board.held(), 1u);
  EXPECT_EQ(board.cellar_name(), cellar_.OpenStore().device().cellar_name);
  EXPECT_THAT(cellar_.Do("digest").out, HasSubstr(board.digest()));
  EXPECT_EQ(board.digest().size(), 64u);
  EXPECT_EQ(FromJson<v1::VesselLine>(cellar_.Do("show C1 --json").out).name(), "C1");
  EXPECT_EQ(FromJson<v1::Trace>(cellar_.Do("trace back C1 --json").out).ends_size(), 1);
  const auto log = FromJson<google::protobuf::Struct>(cellar_.Do("log --json").out);
  EXPECT_EQ(log.fields().at("lines").list_value().values_size(), 7);
  const auto held = FromJson<google::protobuf::Struct>(cellar_.Do("held --json").out);
  EXPECT_EQ(held.fields().at("held").list_value().values_size(), 1);
  EXPECT_EQ(FromJson<google::protobuf::Struct>(cellar_.Do("status --json").out)
                .fields()
                .at("outbox")
                .number_value(),
            7);
  EXPECT_EQ(FromJson<google::protobuf::Struct>(cellar_.Do("digest --json").out)
                .fields()
                .at("entries")
                .number_value(),
            7);
}

TEST_F(BookTest, BooksAndEntriesHaveAFormForProgramsToo) {
  const std::string racked = SavedAs(cellar_.Do("rack C1 C2"));
  const auto entry =
      FromJson<google::protobuf::Struct>(cellar_.Do("show " + racked + " --json").out);
  const std::string id = entry.fields().at("entry_id").string_value();
  EXPECT_EQ(id.substr(28), racked);
  const auto& racking = entry.fields().at("racking").struct_value().fields();
  EXPECT_EQ(racking.at("draws")
                .list_value()
                .values(0)
                .struct_value()
                .fields()
                .at("vessel_id")
                .string_value(),
            FromJson<v1::VesselLine>(cellar_.Do("show C1 --json").out).vessel_id());
  EXPECT_EQ(entry.fields().at("previous_hash").string_value().size(), 64u);

  const auto moves = FromJson<google::protobuf::ListValue>(cellar_.Do("books --json").out);
  ASSERT_EQ(moves.values_size(), 2);
  const auto& last = moves.values(1).struct_value().fields();
  EXPECT_EQ(last.at("entry_id").string_value(), id);
  EXPECT_EQ(last.at("from").string_value(), "vessel:C1");
  EXPECT_EQ(last.at("to").string_value(), "vessel:C2");
  EXPECT_EQ(last.at("amount").number_value(), 20'000'000);
  const auto left =
      FromJson<google::protobuf::ListValue>(cellar_.Do("books --balances --json").out);
  ASSERT_EQ(left.values_size(), 1);
  EXPECT_EQ(left.values(0).struct_value().fields().at("account").string_value(), "vessel:C2");
}

TEST_F(BookTest, HelpAndSlipsOfTheKeyboard) {
  EXPECT_THAT(cellar_.Do("--help").out, AllOf(HasSubstr("receive"), HasSubstr("vessel new")));
  EXPECT_THAT(cellar_.Do("help times").out, HasSubstr("last fri 18:00"));
  EXPECT_EQ(cellar_.Do("help rack").out, cellar_.Do("rack --help").out);
  EXPECT_THAT(cellar_.Run("help tims").err, HasSubstr("help times"));
  EXPECT_THAT(cellar_.Do("rack --help").out, HasSubstr("--lees"));
  EXPECT_THAT(cellar_.Do("help rack").out, HasSubstr("--lees"));
  EXPECT_THAT(cellar_.Run("rak C1 C2").err, HasSubstr("did you mean rack?"));
  EXPECT_THAT(cellar_.Run("vessel").err, HasSubstr("rundlet vessel new"));
  EXPECT_EQ(cellar_.Run("").exit_code, 2);
  EXPECT_EQ(cellar_.Run("rack C1 C2 --nonsense").exit_code, 2);
  EXPECT_EQ(cellar_.Run("--version").exit_code, 0);
}

// Names that are also commands, or look like options, are names all the same.
TEST_F(BookTest, ThingsMayBeCalledLikeCommands) {
  cellar_.Do("vessel new top rack list --capacity 10L");
  cellar_.Do("rack C1=5L top");
  EXPECT_THAT(cellar_.Do("rack top rack").out, HasSubstr("rack  empty -> 5 L"));
  cellar_.Do("note list 'new'");
}

// What the server returned is on this device alone: dropping it needs nobody else.
TEST_F(BookTest, AReturnedEntryCanBeReadAndDropped) {
  const std::string id = SavedAs(cellar_.Do("draw sample C1 1L --note 'for the lab'"));
  {
    Store store = cellar_.OpenStore();
    SyncStore sync(store);
    int64_t damaged = 0;
    auto page = sync.OutboxPage(0, 100, 1 << 20, &damaged);
    ASSERT_TRUE(page.ok());
    std::vector<PushAnswer> answers(page->size());
    for (size_t i = 0; i < answers.size(); ++i) {
      answers[i].kind = PushAnswer::Kind::kRecorded;
      answers[i].seq = i + 1;
    }
    answers.back() = {.kind = PushAnswer::Kind::kReturned,
                      .reason = "NOT_ALLOWED",
                      .message = "guests only read"};
    ASSERT_TRUE(sync.TakeAnswers(*page, answers).ok());
  }
  EXPECT_THAT(cellar_.Do("held").out, AllOf(HasSubstr(id), HasSubstr("guests only read")));
  EXPECT_THAT(cellar_.Do("show " + id).out,
              AllOf(HasSubstr("drew 1 L of C1"), HasSubstr("for the lab"), HasSubstr("returned")));
  EXPECT_THAT(cellar_.Do("history C1").out,
              AllOf(HasSubstr("[returned] drew 1 L of C1"), HasSubstr("guests only read")));
  EXPECT_THAT(cellar_.Do("history C1 --json").out, HasSubstr("\"state\":\"returned\""));
  EXPECT_THAT(cellar_.Do("void " + id + " --dry-run").out, HasSubstr("would drop"));
  EXPECT_THAT(cellar_.Do("held").out, HasSubstr(id));
  const uint64_t before = cellar_.OpenStore().Head()->device_seq;
  EXPECT_THAT(cellar_.Do("void " + id).out, HasSubstr("dropped " + id));
  EXPECT_EQ(cellar_.OpenStore().Head()->device_seq, before) << "no entry is written for it";
  EXPECT_THAT(cellar_.Do("held").out, Not(HasSubstr(id)));
  EXPECT_EQ(cellar_.OpenStore().Returned()->size(), 1u) << "it is kept";
}

TEST_F(BookTest, ANumberThatIsTakenHintsAtATokenInUseTwice) {
  const std::string id = SavedAs(cellar_.Do("draw sample C1 1L"));
  {
    Store store = cellar_.OpenStore();
    ASSERT_TRUE(store.db()
                    .Exec("UPDATE entry SET state = 'returned', reason = 'ID_REUSED', message = "
                          "'number taken' WHERE local_no = (SELECT max(local_no) FROM entry)")
                    .ok());
  }
  for (const std::string& command : {std::string("held"), "show " + id}) {
    EXPECT_THAT(cellar_.Do(command).out,
                HasSubstr("number taken (the same token may be in use on two machines"));
  }
}

TEST_F(BookTest, ABookThatCannotBeLookedAtIsNotCalledMissing) {
  const std::string loop = cellar_.home().dir() + "/loop";
  std::filesystem::create_symlink(loop, loop);  // no right of whoever runs the test gets through
  cellar_.env().variable = [&](const std::string& name) {
    return name == "RUNDLET_HOME" ? loop + "/book" : std::string();
  };
  for (const char* command : {"board", "vessel new C9"}) {
    const auto result = cellar_.Run(command);
    EXPECT_EQ(result.exit_code, 1);
    EXPECT_THAT(result.err, AllOf(HasSubstr("cannot look at " + loop), HasSubstr("RUNDLET_HOME"),
                                  Not(HasSubstr("has not joined"))));
  }
}

TEST_F(BookTest, WhoReadsNoFurtherHearsNothing) {
  std::ostringstream err;
  std::ostream closed(nullptr);
  Environment env = cellar_.env();
  env.out = &closed;
  env.err = &err;
  env.reader_gone = [] { return true; };
  EXPECT_EQ(client::Run({"log"}, env), 0);
  EXPECT_EQ(err.str(), "");
  env.reader_gone = [] { return false; };
  EXPECT_EQ(client::Run({"log"}, env), 1);
  EXPECT_THAT(err.str(), HasSubstr("could not be written out"));
}

TEST_F(BookTest, ASnapshotOfAnotherStoreIsNotTaken) {
  for (int i = 0; i < 510; ++i) cellar_.Do("read C1 1.045");
  cellar_.Do("board");
  TestCellar other(2);
  for (int i = 0; i < 512; ++i) other.Do("member new 'M" + std::to_string(i) + "'");
  std::filesystem::copy_file(cellar_.home().snapshot(), other.home().snapshot(),
                             std::filesystem::copy_options::overwrite_existing);
  EXPECT_THAT(other.Do("vessel list").out, Not(HasSubstr("C1")));
}

TEST_F(BookTest, WhatCannotBeHeededIsRefused) {
  cellar_.Do("packet new sugar --name SUG-1 --amount 2kg");
  cellar_.Do("packet new yeast --name YW-1 --amount 20g");
  EXPECT_EQ(cellar_.Run("add C1 SUG-1 10g --packet NOPE").exit_code, 1);
  EXPECT_EQ(cellar_.Run("add C1 SUG-1 10g --packet YW-1").exit_code, 2);
  EXPECT_EQ(cellar_.Run("note C1 nice --note second").exit_code, 2);
  for (const char* name : {"' C4'", "V=5L", "all", "Rest", "5L", "vessel:X"}) {
    EXPECT_EQ(cellar_.Run(std::string("vessel new ") + name).exit_code, 2) << name;
  }
  cellar_.Do("vessel new 2nd 'Tank 5L'");
}

TEST_F(BookTest, AnAmendmentSaysWhatAndWhy) {
  const std::string id = SavedAs(cellar_.Do("draw sample C1 1L"));
  cellar_.Do("amend " + id + " --reason misread -- draw sample C1 2L");
  EXPECT_THAT(cellar_.Do("log").out, HasSubstr("instead of " + id + ": misread"));
}

TEST_F(BookTest, MoreArrivedThanWasDrawn) {
  EXPECT_THAT(cellar_.Do("blend --from C1=1L --to C2=3L").out,
              HasSubstr("3 L arrived, but only 1 L drawn"));
}

TEST_F(BookTest, ASnapshotGivesTheSameBook) {
  for (int i = 0; i < 510; ++i) cellar_.Do("read C1 1.045");
  cellar_.Do("board");
  const auto loaded = LoadSnapshot(cellar_.home().snapshot(), Snapshot::Verify::kAll);
  ASSERT_TRUE(loaded.ok()) << loaded.status();
  EXPECT_GE(loaded->stamp.local_no, 500);
  cellar_.Do("rack C1 C2 --at 10:30");
  const std::string with = cellar_.Do("digest").out;
  ASSERT_TRUE(RemoveFile(cellar_.home().snapshot()).ok());
  EXPECT_EQ(cellar_.Do("digest").out, with);

  // A damaged one is no obstacle.
  ASSERT_TRUE(WritePrivateFile(cellar_.home().snapshot(), std::string(100'000, 'x')).ok());
  EXPECT_EQ(cellar_.Do("digest").out, with);
}

}  // namespace
}  // namespace rundlet::client

// Goal: the service keeps its promises to whatever a channel carries: good calls, bad tokens, bytes
// that are nothing, pages, deadlines, a database that is gone, a server that stops.
// Method: a GrpcServer on a real database, called through a real channel on loopback.
#include <google/protobuf/wrappers.pb.h>
#include <grpcpp/grpcpp.h>

#include <algorithm>
#include <memory>
#include <thread>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"
#include "core/evidence/checkpoint.h"
#include "core/evidence/merkle.h"
#include "gmock/gmock.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "rundlet/v1/error_details.pb.h"
#include "server/cellar/limits.h"
#include "server/health_client.h"
#include "server/pg/testing/await.h"
#include "server/service/grpc_server.h"
#include "server/service/token.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"

namespace rundlet::server {
namespace {

using rundlet::testing::DrawAll;
using rundlet::testing::Fill;
using rundlet::testing::FillRest;
using rundlet::testing::kLitre;
using rundlet::testing::TestDevice;
using ::testing::HasSubstr;
using ::testing::SizeIs;

std::vector<Hash> HashesOf(const google::protobuf::RepeatedPtrField<std::string>& fields) {
  std::vector<Hash> hashes;
  for (const std::string& field : fields) {
    EXPECT_EQ(field.size(), sizeof(Hash));
    std::copy(field.begin(), field.end(), hashes.emplace_back().begin());
  }
  return hashes;
}

class ServiceTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    absl::StatusOr<std::unique_ptr<GrpcServer>> server =
        GrpcServer::Start({.listen = "127.0.0.1:0",
                           .connection_string = db().connection_string(),
                           .now = absl::Now,
                           .token_keep = absl::ZeroDuration(),
                           .signing_key = signing_key_});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
    phone_ = std::make_unique<TestDevice>("phone", WriterOf(isolde()));
    caller_ = std::make_unique<Caller>(PlainChannel(server_->port()), isoldes());
    v1::PushResponse pushed;  // entry 1 of the journal
    enrolled_ = GiveKey(isolde(), *phone_);
    ASSERT_TRUE(caller_->Push({enrolled_}, pushed).ok());
    ASSERT_EQ(pushed.dispositions(0).seq(), 1) << pushed.dispositions(0).message();
  }

  Caller As(const std::string& token) { return Caller(PlainChannel(server_->port()), token); }

  const evidence::SigningKey signing_key_ = *evidence::SigningKey::FromSeed(std::string(32, 's'));
  std::unique_ptr<GrpcServer> server_;
  std::unique_ptr<TestDevice> phone_;
  std::unique_ptr<Caller> caller_;  // Isolde's phone
  std::string enrolled_;            // its first entry
};

TEST_F(ServiceTest, ADeviceLearnsWhoItIs) {
  v1::PushResponse pushed;
  ASSERT_TRUE(caller_->Push({phone_->RegisterVessel("C1").bytes}, pushed).ok());
  v1::GetDeviceResponse response;
  const grpc::Status status = caller_->GetDevice(response);
  ASSERT_TRUE(status.ok()) << status.error_message();
  EXPECT_EQ(response.cellar_id(), cellar_id().bytes());
  EXPECT_EQ(response.cellar_name(), "Thistledown Wine Circle");
  EXPECT_EQ(response.device_id(), isolde().device_id.bytes());
  EXPECT_EQ(response.device_name(), "phone");
  EXPECT_EQ(response.member_id(), isolde().member_id.bytes());
  EXPECT_EQ(response.member_name(), "Isolde Thornbury");
  EXPECT_EQ(response.role(), "master");
  EXPECT_EQ(response.last_device_seq(), 2);
  EXPECT_EQ(response.public_key(), TestKeyOf(isolde().device_id).public_key().bytes());
}

TEST_F(ServiceTest, WhatIsPushedIsPulledByteForByte) {
  std::vector<std::string> entries;
  for (int i = 0; i < 24; ++i) entries.push_back(phone_->RegisterVessel("C1").bytes);
  v1::PushResponse pushed;
  ASSERT_TRUE(caller_->Push(entries, pushed).ok());
  EXPECT_EQ(pushed.journal_size(), 25);
  ASSERT_THAT(pushed.dispositions(), SizeIs(24));
  entries.insert(entries.begin(), enrolled_);

  Caller bram = As(brams_token());
  v1::PullRequest request;
  request.set_page_size(10);
  std::vector<std::string> pulled;
  for (int page = 0; page < 3; ++page) {
    v1::PullResponse response;
    ASSERT_TRUE(bram.Call(&v1::CellarService::Stub::Pull, request, response).ok());
    EXPECT_EQ(response.journal_size(), 25);
    for (const v1::JournalRow& row : response.rows()) {
      EXPECT_EQ(row.seq(), pulled.size() + 1);
      EXPECT_NEAR(row.received_at_us(), absl::ToUnixMicros(absl::Now()), 60'000'000);
      pulled.push_back(row.entry());
    }
    request.set_after_seq(pulled.size());
  }
  EXPECT_EQ(pulled, entries);
  v1::PullResponse beyond;
  request.set_after_seq(UINT64_MAX);
  ASSERT_TRUE(bram.Call(&v1::CellarService::Stub::Pull, request, beyond).ok());
  EXPECT_THAT(beyond.rows(), SizeIs(0));
}

// Pages of large entries stay below what clients take by default.
TEST_F(ServiceTest, APageOfPullIsCutByBytes) {
  std::vector<std::string> sent = {enrolled_};
  for (int push = 0; push < 3; ++push) {
    std::vector<std::string> entries;
    for (int i = 0; i < 45; ++i) {
      entries.push_back(phone_->Noting(std::string(60'000, 'n')).RegisterVessel("C1").bytes);
    }
    v1::PushResponse pushed;
    ASSERT_TRUE(caller_->Push(entries, pushed).ok());
    sent.insert(sent.end(), entries.begin(), entries.end());
  }
  v1::PullRequest request;
  request.set_page_size(1'000'000);
  std::vector<std::string> pulled;
  int pages = 0;
  for (; pulled.size() < sent.size() && pages < 10; ++pages) {
    v1::PullResponse response;
    const grpc::Status status = caller_->Call(&v1::CellarService::Stub::Pull, request, response);
    ASSERT_TRUE(status.ok()) << status.error_message();
    EXPECT_LE(response.ByteSizeLong(), 3'500'000u);
    for (const v1::JournalRow& row : response.rows()) pulled.push_back(row.entry());
    request.set_after_seq(pulled.size());
  }
  EXPECT_EQ(pulled, sent);
  EXPECT_EQ(pages, 3);
}

TEST_F(ServiceTest, OnlyTheDevicesOwnTokenIsGood) {
  v1::GetDeviceResponse response;
  EXPECT_EQ(ReasonIn(As("").GetDevice(response)), "TOKEN_MISSING");
  EXPECT_EQ(ReasonIn(As("nonsense").GetDevice(response)), "TOKEN_MALFORMED");
  EXPECT_EQ(ReasonIn(As(isoldes_token() + "A").GetDevice(response)), "TOKEN_MALFORMED");
  EXPECT_EQ(ReasonIn(As(isoldes_token().substr(0, 90)).GetDevice(response)), "TOKEN_MALFORMED");
  // Of a device that is there with another secret, of one that is not, and of no cellar.
  TokenSecret secret = {};
  for (const TokenOwner& owner :
       {TokenOwner{cellar_id(), isolde().device_id}, TokenOwner{cellar_id(), isolde().member_id},
        TokenOwner{isolde().device_id, isolde().device_id}}) {
    const grpc::Status status = As(FormatToken(owner, secret)).GetDevice(response);
    EXPECT_EQ(status.error_code(), grpc::StatusCode::UNAUTHENTICATED);
    EXPECT_EQ(ReasonIn(status), "TOKEN_REFUSED");
  }
  ASSERT_TRUE(admin().RevokeDevice(cellar_id(), bram().device_id).ok());
  EXPECT_EQ(ReasonIn(As(brams_token()).GetDevice(response)), "DEVICE_REVOKED");
  v1::PushResponse pushed;
  EXPECT_EQ(ReasonIn(As(brams_token()).Push({}, pushed)), "DEVICE_REVOKED");
  EXPECT_TRUE(caller_->GetDevice(response).ok());
}

TEST_F(ServiceTest, APushHasLimits) {
  v1::PushResponse response;
  EXPECT_EQ(ReasonIn(caller_->Push(std::vector<std::string>(kMaxPushEntries + 1), response)),
            "TOO_MANY_ENTRIES");
  const std::vector<std::string> heavy(50, std::string(kMaxEntryBytes, 'x'));
  EXPECT_EQ(ReasonIn(caller_->Push(heavy, response)), "PUSH_TOO_LARGE");
  // Beyond what is read from the wire at all.
  const grpc::Status status = caller_->Push({std::string(5 * 1024 * 1024, 'x')}, response);
  EXPECT_EQ(status.error_code(), grpc::StatusCode::RESOURCE_EXHAUSTED);
  // At the limit each entry is judged by itself.
  ASSERT_TRUE(caller_->Push(std::vector<std::string>(kMaxPushEntries), response).ok());
  EXPECT_THAT(response.dispositions(), SizeIs(kMaxPushEntries));
}

// Bytes that are nothing, and good entries with a flipped bit, are answered one by one.
TEST_F(ServiceTest, GarbageIsAnsweredAndHarmless) {
  rundlet::testing::Random random(20'251'125);
  std::vector<std::string> entries;
  for (int i = 0; i < 200; ++i) {
    std::string bytes(static_cast<size_t>(random.Below(300)), '\0');
    for (char& byte : bytes) byte = static_cast<char>(random.Next());
    entries.push_back(bytes);
  }
  rundlet::testing::CellarGenerator generator(
      rundlet::testing::GeneratorOptions::Of(rundlet::testing::Profile::kHostile, 5),
      {WriterOf(isolde())});
  for (int i = 0; i < 400; ++i) {
    std::string bytes = generator.Next().bytes;
    bytes[static_cast<size_t>(random.Below(static_cast<int64_t>(bytes.size())))] ^=
        static_cast<char>(1 << random.Below(8));
    entries.push_back(bytes);
  }
  v1::PushResponse response;
  const grpc::Status status = caller_->Push(entries, response);
  ASSERT_TRUE(status.ok()) << status.error_message();
  ASSERT_THAT(response.dispositions(), SizeIs(entries.size()));
  for (const v1::Disposition& disposition : response.dispositions()) {
    EXPECT_NE(disposition.kind(), v1::DISPOSITION_KIND_UNSPECIFIED);
    if (disposition.kind() == v1::DISPOSITION_KIND_RETURNED) {
      EXPECT_NE(disposition.reason(), v1::RETURN_REASON_UNSPECIFIED);
      EXPECT_FALSE(disposition.message().empty());
    }
  }
  EXPECT_EQ(Differences(cellar_id()), "");
}

TEST_F(ServiceTest, NewerEntriesStayWithTheDevice) {
  v1::PushResponse response;
  ASSERT_TRUE(
      caller_
          ->Push({phone_->WriteOfNewerKind().bytes, phone_->RegisterVessel("C1").bytes}, response)
          .ok());
  EXPECT_EQ(response.dispositions(0).kind(), v1::DISPOSITION_KIND_NOT_YET);
  EXPECT_THAT(response.dispositions(0).message(), HasSubstr("too old"));
  EXPECT_EQ(response.dispositions(1).kind(), v1::DISPOSITION_KIND_RECORDED);
}

TEST_F(ServiceTest, BoardTraceJournalAndHeld) {
  std::vector<std::string> entries = {
      phone_->RegisterVessel("C1", 25 * kLitre).bytes, phone_->RegisterVessel("C2").bytes,
      phone_->RegisterLot("Elder").bytes, phone_->Receive("Elder", {Fill("C1", 20 * kLitre)}).bytes,
      phone_->Rack({DrawAll("C1")}, {FillRest("C2")}).bytes};
  const std::string held_1 = phone_->Rack({DrawAll("C1")}, {FillRest("C2")}).bytes;
  const std::string held_2 = phone_->Rack({DrawAll("C1")}, {FillRest("C2")}).bytes;
  entries.push_back(held_1);
  entries.push_back(held_2);
  v1::PushResponse pushed;
  ASSERT_TRUE(caller_->Push(entries, pushed).ok());

  v1::GetBoardResponse board;
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::GetBoard, v1::GetBoardRequest(), board).ok());
  EXPECT_EQ(board.board().cellar_name(), "Thistledown Wine Circle");
  EXPECT_EQ(board.board().entries(), entries.size() + 1);
  EXPECT_EQ(board.board().held(), 2);
  ASSERT_THAT(board.board().vessels(), SizeIs(2));
  EXPECT_EQ(board.board().vessels(0).volume_ul(), 0);
  EXPECT_EQ(board.board().vessels(1).volume_ul(), 20 * kLitre);

  v1::GetTraceRequest trace_request;
  trace_request.set_subject_id(rundlet::testing::IdOf("C2").ToBytes());
  trace_request.set_direction(v1::TRACE_DIRECTION_BACK);
  v1::GetTraceResponse trace;
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::GetTrace, trace_request, trace).ok());
  EXPECT_EQ(trace.trace().subject_name(), "C2");
  EXPECT_THAT(trace.trace().ends(), SizeIs(1));

  // Two pages of one each.
  v1::ListHeldRequest held_request;
  held_request.set_page_size(1);
  v1::ListHeldResponse held;
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::ListHeld, held_request, held).ok());
  ASSERT_THAT(held.held(), SizeIs(1));
  EXPECT_EQ(held.held(0).reason(), v1::HELD_REASON_EMPTY_VESSEL);
  const std::string first_id = held.held(0).entry_id();
  held_request.set_page_token(held.next_page_token());
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::ListHeld, held_request, held).ok());
  ASSERT_THAT(held.held(), SizeIs(1));
  EXPECT_NE(held.held(0).entry_id(), first_id);
  EXPECT_EQ(held.next_page_token(), "");
}

// Pages go on behind the entry they ended with, also when something is filed before it meanwhile.
TEST_F(ServiceTest, JournalPagesAreNotShiftedByLateEntries) {
  std::vector<std::string> entries;
  for (int i = 0; i < 7; ++i) {
    entries.push_back(phone_->At((100 + i) * rundlet::testing::kDayUs).RegisterVessel("C1").bytes);
  }
  v1::PushResponse pushed;
  ASSERT_TRUE(caller_->Push(entries, pushed).ok());
  v1::ListJournalRequest request;
  request.set_page_size(3);
  std::vector<std::string> ids;
  for (int page = 0; page < 3; ++page) {
    v1::ListJournalResponse response;
    ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::ListJournal, request, response).ok());
    for (const v1::LogLine& line : response.lines()) ids.push_back(line.entry_id());
    EXPECT_EQ(response.next_page_token().empty(), page == 2);
    request.set_page_token(response.next_page_token());
    const std::string late = phone_->At(rundlet::testing::kDayUs).RegisterVessel("C0").bytes;
    ASSERT_TRUE(caller_->Push({late}, pushed).ok());
  }
  ASSERT_THAT(ids, SizeIs(8));
  EXPECT_THAT(std::set<std::string>(ids.begin(), ids.end()), SizeIs(8));

  v1::ListJournalResponse response;
  request.set_page_token("nonsense");
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::ListJournal, request, response)),
            "BAD_PAGE_TOKEN");
  request.clear_page_token();
  request.set_subject_id(rundlet::testing::IdOf("C0").ToBytes());
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::ListJournal, request, response).ok());
  EXPECT_THAT(response.lines(), SizeIs(3));
}

// Entries with long notes fill a message before they fill a page; the page ends early.
TEST_F(ServiceTest, JournalPagesFitAMessage) {
  constexpr int kEntries = 90;
  v1::PushResponse pushed;
  for (int i = 0; i < kEntries / 30; ++i) {
    std::vector<std::string> entries;
    for (int j = 0; j < 30; ++j) {
      entries.push_back(phone_->Noting(std::string(60'000, 'n')).RegisterVessel("C1").bytes);
    }
    ASSERT_TRUE(caller_->Push(entries, pushed).ok());
  }
  v1::ListJournalRequest request;
  request.set_page_size(1000);
  std::set<std::string> ids;
  int pages = 0;
  do {
    v1::ListJournalResponse response;
    ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::ListJournal, request, response).ok());
    for (const v1::LogLine& line : response.lines()) ids.insert(line.entry_id());
    request.set_page_token(response.next_page_token());
    ++pages;
  } while (!request.page_token().empty());
  EXPECT_THAT(ids, SizeIs(kEntries + 1));
  EXPECT_EQ(pages, 2);
}

TEST_F(ServiceTest, CheckpointsAreSignedAndShowWhatIsInTheJournal) {
  v1::PushResponse pushed;
  std::vector<std::string> entries;
  for (int i = 1; i < 40; ++i)
    entries.push_back(phone_->RegisterVessel(absl::StrCat("C", i)).bytes);
  ASSERT_TRUE(caller_->Push(entries, pushed).ok());
  entries.insert(entries.begin(), enrolled_);

  v1::GetCheckpointRequest request;
  request.set_old_size(7);
  v1::GetCheckpointResponse response;
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::GetCheckpoint, request, response).ok());
  const auto key = evidence::ReadKey(response.key());
  ASSERT_TRUE(key.ok()) << key.status();
  EXPECT_EQ(*key, signing_key_.public_key());
  const auto checkpoint = evidence::OpenCheckpoint(response.note(), *key);
  ASSERT_TRUE(checkpoint.ok()) << checkpoint.status();
  EXPECT_EQ(checkpoint->cellar_id, cellar_id());
  EXPECT_EQ(checkpoint->size, 40);
  evidence::Frontier tree, old_tree;
  Sha256 sha;
  for (size_t i = 0; i < entries.size(); ++i) {
    tree.Append(LeafHash(sha, entries[i]));
    if (i < 7) old_tree.Append(LeafHash(sha, entries[i]));
  }
  EXPECT_EQ(checkpoint->root, tree.Root());
  EXPECT_TRUE(evidence::VerifyConsistency(7, old_tree.Root(), 40, tree.Root(),
                                          HashesOf(response.consistency()))
                  .ok());

  v1::Entry entry;
  ASSERT_TRUE(entry.ParseFromString(entries[12]));
  v1::GetInclusionRequest asked;
  asked.set_entry_id(entry.entry_id());
  asked.set_tree_size(40);
  v1::GetInclusionResponse inclusion;
  ASSERT_TRUE(caller_->Call(&v1::CellarService::Stub::GetInclusion, asked, inclusion).ok());
  EXPECT_EQ(inclusion.seq(), 13);
  EXPECT_TRUE(evidence::VerifyInclusion(LeafHash(sha, entries[12]), 12, 40,
                                        HashesOf(inclusion.proof()), checkpoint->root)
                  .ok());
  asked.set_tree_size(12);
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetInclusion, asked, inclusion)),
            "UNKNOWN_ENTRY");
  request.set_size(41);
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetCheckpoint, request, response)),
            "BAD_TREE_SIZE");
}

TEST_F(ServiceTest, BadArgumentsAreNamed) {
  v1::PullRequest pull;
  pull.set_page_size(-1);
  v1::PullResponse pulled;
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::Pull, pull, pulled)), "BAD_PAGE_SIZE");
  v1::GetTraceRequest trace;
  v1::GetTraceResponse traced;
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetTrace, trace, traced)),
            "BAD_SUBJECT");
  trace.set_subject_id(rundlet::testing::IdOf("C1").ToBytes());
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetTrace, trace, traced)),
            "BAD_DIRECTION");
  trace.set_direction(v1::TRACE_DIRECTION_BACK);
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetTrace, trace, traced)),
            "UNKNOWN_THING");
  v1::PushResponse pushed;
  ASSERT_TRUE(caller_->Push({phone_->RegisterVessel("C1").bytes}, pushed).ok());
  EXPECT_EQ(ReasonIn(caller_->Call(&v1::CellarService::Stub::GetTrace, trace, traced)),
            "NOTHING_TO_TRACE");
}

// While the database is away calls fail with a hint to come back, and nothing is decided; the
// health service says so; when it is back, everything goes on.
TEST_F(ServiceTest, ADatabaseThatIsAway) {
  const std::string entry = phone_->RegisterVessel("C1").bytes;
  const std::string address = absl::StrCat("127.0.0.1:", server_->port());
  EXPECT_EQ(CheckHealth(address, "", absl::Seconds(10)), absl::OkStatus());
  const auto cluster = TestDatabase::Cluster();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  pqxx::connection connection((*cluster)->ConnectionStringFor("postgres"));
  pqxx::nontransaction work(connection);
  // Nobody gets in, and who is in is put out.
  work.exec(absl::StrCat("alter database ", db().name(), " allow_connections false"));
  work.exec_params("select pg_terminate_backend(pid) from pg_stat_activity where datname = $1",
                   db().name());
  v1::PushResponse response;
  const grpc::Status away = caller_->Push({entry}, response);
  EXPECT_EQ(away.error_code(), grpc::StatusCode::UNAVAILABLE);
  EXPECT_EQ(ReasonIn(away), "DATABASE_AWAY");
  EXPECT_TRUE(Await([&] { return !CheckHealth(address, "", absl::Seconds(10)).ok(); }));
  work.exec(absl::StrCat("alter database ", db().name(), " allow_connections true"));
  EXPECT_TRUE(Await([&] { return CheckHealth(address, "", absl::Seconds(10)).ok(); }));
  ASSERT_TRUE(caller_->Push({entry}, response).ok());
  EXPECT_EQ(response.dispositions(0).kind(), v1::DISPOSITION_KIND_RECORDED);
}

TEST_F(ServiceTest, ADeadlineEndsAPushThatWaits) {
  const auto hold = CellarTransaction::Begin(admin().pool(), cellar_id(), absl::InfiniteFuture());
  ASSERT_TRUE(hold.ok());
  (*hold)->work().exec("select from rundlet.journal_head for update");
  v1::PushResponse response;
  const grpc::Status status =
      caller_->Push({phone_->RegisterVessel("C1").bytes}, response, absl::Milliseconds(300));
  EXPECT_EQ(status.error_code(), grpc::StatusCode::DEADLINE_EXCEEDED);
}

TEST_F(ServiceTest, AStopLetsCallsEnd) {
  auto hold = CellarTransaction::Begin(admin().pool(), cellar_id(), absl::InfiniteFuture());
  ASSERT_TRUE(hold.ok());
  (*hold)->work().exec("select from rundlet.journal_head for update");
  const std::string entry = phone_->RegisterVessel("C1").bytes;
  v1::PushResponse response;
  grpc::Status status;
  std::thread call([&] { status = caller_->Push({entry}, response); });
  ASSERT_TRUE(Await([this] { return WaitingForLocks() == 1; }));
  std::thread stop([this] { server_->Stop(absl::Seconds(30)); });
  const std::string address = absl::StrCat("127.0.0.1:", server_->port());
  EXPECT_TRUE(Await([&] { return !CheckHealth(address, "", absl::Seconds(5)).ok(); }));
  *hold = nullptr;  // now the write goes on
  call.join();
  stop.join();
  ASSERT_TRUE(status.ok()) << status.error_message();
  EXPECT_EQ(response.dispositions(0).kind(), v1::DISPOSITION_KIND_RECORDED);
}

TEST_F(ServiceTest, TwoServersShareADatabaseAndAPortIsNotShared) {
  absl::StatusOr<std::unique_ptr<GrpcServer>> second =
      GrpcServer::Start({.listen = absl::StrCat("127.0.0.1:", server_->port()),
                         .connection_string = db().connection_string(),
                         .now = absl::Now});
  EXPECT_EQ(second.status().code(), absl::StatusCode::kFailedPrecondition);
  second = GrpcServer::Start(
      {.listen = "127.0.0.1:0", .connection_string = db().connection_string(), .now = absl::Now});
  ASSERT_TRUE(second.ok()) << second.status();
  Caller other(PlainChannel((*second)->port()), isoldes());
  for (int i = 1; i <= 10; ++i) {
    v1::PushResponse response;
    Caller& caller = i % 2 == 0 ? other : *caller_;
    ASSERT_TRUE(caller.Push({phone_->RegisterVessel(absl::StrCat("C", i)).bytes}, response).ok());
    EXPECT_EQ(response.dispositions(0).seq(), i + 1);
    v1::GetBoardResponse board;
    Caller& reader = i % 3 == 0 ? other : *caller_;
    ASSERT_TRUE(reader.Call(&v1::CellarService::Stub::GetBoard, v1::GetBoardRequest(), board).ok());
    EXPECT_THAT(board.board().vessels(), SizeIs(i));
  }
  EXPECT_EQ(Differences(cellar_id()), "");
}

}  // namespace
}  // namespace rundlet::server

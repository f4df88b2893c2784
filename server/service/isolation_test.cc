// Goal: whoever calls, and whatever they fill in, nothing of another cellar comes back, nothing of
// it changes, and they cannot tell what is there from what is not; each role is refused what the
// table of rights says, and before anything is looked up.
// Method: every call of every service that the running server says it has, found by reflection, as
// a stranger and as every role of cellar A. All fields of bytes are filled with ids, keys and
// entries of cellar B, and again with some of nobody: the answers must be the same, and hold no
// byte of B. The cellars and people are invented.
#include <optional>
#include <pqxx/pqxx>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/time/clock.h"
#include "core/evidence/enrolment.h"
#include "gmock/gmock.h"
#include "rundlet/v1/join_service.pb.h"
#include "server/pg/testing/schema_law.h"
#include "server/service/grpc_server.h"
#include "server/service/token.h"
#include "server/testing/any_call.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {
namespace {

using google::protobuf::FieldDescriptor;
using google::protobuf::Message;
using google::protobuf::MethodDescriptor;
using rundlet::testing::DrawAll;
using rundlet::testing::EntryId;
using rundlet::testing::Fill;
using rundlet::testing::FillRest;
using rundlet::testing::IdOf;
using rundlet::testing::kLitre;
using rundlet::testing::TestDevice;
using ::testing::HasSubstr;
using ::testing::IsSupersetOf;
using ::testing::Not;
using ::testing::UnorderedElementsAre;

// What a caller may know of a cellar that is not theirs, or make up.
struct Known {
  std::vector<Uuid> ids;
  std::vector<std::string> keys;  // 32 bytes
  std::string entry;              // an entry's bytes
};

// Fills every field of a message so that it passes what is checked of it by itself: ids and keys
// are the `n`th of those that are known.
void FillIn(const Known& known, size_t n, Message& message) {
  const auto* reflection = message.GetReflection();
  for (int i = 0; i < message.GetDescriptor()->field_count(); ++i) {
    const FieldDescriptor* field = message.GetDescriptor()->field(i);
    const std::string& name = field->name();
    if (field->type() == FieldDescriptor::TYPE_BYTES) {
      std::string value = known.ids[n % known.ids.size()].ToBytes();
      if (absl::EndsWith(name, "key")) value = known.keys[n % known.keys.size()];
      if (absl::EndsWith(name, "signature")) value = std::string(64, 's');
      if (field->is_repeated()) {
        reflection->AddString(&message, field, known.entry);
        reflection->AddString(&message, field, value);
      } else {
        reflection->SetString(&message, field, value);
      }
    } else if (field->type() == FieldDescriptor::TYPE_STRING && name != "page_token") {
      reflection->SetString(&message, field, "Tobias Wren");
    } else if (field->type() == FieldDescriptor::TYPE_ENUM) {
      reflection->SetEnumValue(&message, field, 1 + static_cast<int>(n % 2));
    } else if (absl::EndsWith(name, "_at_us")) {
      reflection->SetInt64(&message, field, absl::ToUnixMicros(absl::Now() + absl::Hours(1)));
    }
  }
}

// What was said in the request is no secret of anybody: it may stand in the answer.
std::string WithoutEcho(const std::string& text, const Known& known) {
  std::vector<std::pair<std::string, std::string>> echoes = {{known.entry, "ENTRY"}};
  for (const Uuid& id : known.ids) {
    echoes.emplace_back(id.ToBytes(), "ID");
    echoes.emplace_back(id.ToString(), "ID");
  }
  for (const std::string& key : known.keys) echoes.emplace_back(key, "KEY");
  return absl::StrReplaceAll(text, echoes);
}

class IsolationTest : public CellarTest {
 protected:
  struct Who {
    std::string name;
    std::string authorization;
    std::optional<NewDevice> device;  // none: a stranger
  };

  void SetUp() override {
    CellarTest::SetUp();
    auto server =
        GrpcServer::Start({.listen = "127.0.0.1:0",
                           .connection_string = db().connection_string(),
                           .now = absl::Now,
                           .token_keep = absl::ZeroDuration(),
                           .signing_key = *evidence::SigningKey::FromSeed(std::string(32, 's')),
                           .join_limits = {},
                           .failed_calls = {.free = 1e9},
                           .failed_joins = {.free = 1e9}});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
    channel_ = PlainChannel(server_->port());
    guest_ = AddDevice("Wren Hollis", MemberRole::kGuest);
    revoked_ = AddDevice("Tobias Wren", MemberRole::kMaster);
    ASSERT_TRUE(admin().RevokeDevice(cellar_id(), revoked_.device.device_id).ok());
    other_ = NewCellar("Hollowmere Press");
    FillCellar(isoldes(), "Riesling", "C1");
    FillCellar(other_, "Hollowmere Damson", "Hollowmere Cask 7");
    // A device's name makes its entries' ids: each has its own.
    TestDevice brams_phone("Bram's phone", WriterOf(bram()));
    Push(brams(), {GiveKey(bram(), brams_phone)});
    LearnOther();
    MakeUpNobodys();
    MakeCallers();
  }

  void Push(const NewDevice& device, const std::vector<std::string>& entries) {
    v1::PushResponse response;
    const grpc::Status status = Caller(channel_, device).Push(entries, response);
    ASSERT_TRUE(status.ok()) << status.error_message();
    for (const v1::Disposition& disposition : response.dispositions())
      ASSERT_EQ(disposition.kind(), v1::DISPOSITION_KIND_RECORDED) << disposition.message();
  }

  // Wine in a vessel, and an entry that is held.
  void FillCellar(const NewDevice& device, const std::string& lot, const std::string& vessel) {
    TestDevice writer(absl::StrCat("phone with ", lot), WriterOf(device.device));
    std::vector<std::string> entries = {GiveKey(device.device, writer)};
    entries.push_back(writer.RegisterVessel(vessel).bytes);
    entries.push_back(writer.RegisterLot(lot).bytes);
    entries.push_back(writer.Receive(lot, {Fill(vessel, 20 * kLitre)}).bytes);
    entries.push_back(writer.Rack({DrawAll("C9")}, {FillRest(vessel)}).bytes);
    const std::string last = entries.back();
    // More than a tile of the tree holds.
    for (int i = 0; i < 16; ++i)
      entries.push_back(writer.RegisterBin(absl::StrCat(lot, " ", i)).bytes);
    Push(device, entries);
    (device.device.cellar_id == cellar_id() ? own_entry_ : others_.entry) = last;
  }

  // All ids and keys of cellar B, and what must not come back of it.
  void LearnOther() {
    const auto invited =
        admin().Invite(other_.device.cellar_id, "Maud Ferrier", MemberRole::kHand, absl::Hours(1));
    ASSERT_TRUE(invited.ok()) << invited.status();
    v1::Entry entry;
    ASSERT_TRUE(entry.ParseFromString(others_.entry));
    others_.ids = {other_.device.cellar_id,  other_.device.device_id, other_.device.member_id,
                   invited->row.member_id,   EntryId(entry),          IdOf("Hollowmere Cask 7"),
                   IdOf("Hollowmere Damson")};
    others_.keys = {std::string(invited->row.key.bytes()),
                    std::string(TestKeyOf(other_.device.device_id).public_key().bytes())};
    secrets_ = {"Hollowmere", "Maud Ferrier", other_.token, others_.entry};
    for (const Uuid& id : others_.ids) {
      secrets_.push_back(id.ToBytes());
      secrets_.push_back(id.ToString());
    }
    secrets_.insert(secrets_.end(), others_.keys.begin(), others_.keys.end());
  }

  // As many that nobody has.
  void MakeUpNobodys() {
    for (size_t i = 0; i < others_.ids.size(); ++i)
      nobodys_.ids.push_back(IdOf(absl::StrCat("nobody's ", i)));
    nobodys_.keys = {std::string(32, 'k'), std::string(32, 'l')};
    Device nobody = other_.device;
    nobody.cellar_id = nobodys_.ids[0];
    nobody.device_id = nobodys_.ids[1];
    nobody.member_id = nobodys_.ids[2];
    TestDevice writer("nobody's phone", WriterOf(nobody));
    nobodys_.entry = writer.Rack({DrawAll("C9")}, {FillRest("C1")}).bytes;
  }

  void MakeCallers() {
    TokenSecret wrong = {};
    const auto bearer = [](const std::string& token) { return "Bearer " + token; };
    callers_ = {
        {"nobody", "", {}},
        {"garbage", bearer("nonsense"), {}},
        {"a wrong secret", bearer(FormatToken({cellar_id(), isolde().device_id}, wrong)), {}},
        {"a revoked device", bearer(revoked_.token), {}},
        {"guest", bearer(guest_.token), guest_},
        {"hand", bearer(brams().token), brams()},
        {"master", bearer(isoldes().token), isoldes()}};
  }

  // Every method of the services that the server says it has and that are ours.
  std::vector<const MethodDescriptor*> Methods() {
    std::vector<const MethodDescriptor*> methods;
    for (const std::string& name : ServicesOf(channel_)) {
      if (absl::StartsWith(name, "grpc.")) continue;
      const auto* service =
          google::protobuf::DescriptorPool::generated_pool()->FindServiceByName(name);
      EXPECT_NE(service, nullptr) << name;
      for (int i = 0; service != nullptr && i < service->method_count(); ++i)
        methods.push_back(service->method(i));
    }
    return methods;
  }

  std::unique_ptr<Message> RequestOf(const MethodDescriptor& method, const Who& who,
                                     const Known& known, size_t n) {
    std::unique_ptr<Message> request(google::protobuf::MessageFactory::generated_factory()
                                         ->GetPrototype(method.input_type())
                                         ->New());
    FillIn(known, n, *request);
    if (auto* push = dynamic_cast<v1::PushRequest*>(request.get()); push && who.device)
      push->set_signature(Caller(channel_, *who.device)
                              .SignatureOver({push->entries().begin(), push->entries().end()}));
    if (auto* join = dynamic_cast<v1::JoinRequest*>(request.get()); join && n % 2 == 0)
      SignWithOwnKeys(*join);
    return request;
  }

  // As somebody with an invitation of their own making.
  static void SignWithOwnKeys(v1::JoinRequest& join) {
    const auto key = *evidence::SigningKey::FromSeed(std::string(32, 'o'));
    join.set_invitation_key(std::string(key.public_key().bytes()));
    join.set_public_key(std::string(key.public_key().bytes()));
    const std::string message =
        evidence::EnrolmentMessage({.cellar_id = *Uuid::FromBytes(join.cellar_id()),
                                    .device_id = *Uuid::FromBytes(join.device_id()),
                                    .device_key = key.public_key(),
                                    .invitation_key = key.public_key()});
    join.set_invitation_signature(*key.Sign(message));
    join.set_device_signature(*key.Sign(message));
  }

  Answered Ask(const MethodDescriptor& method, const Who& who, const Known& known, size_t n) {
    const std::string path = absl::StrCat("/", method.service()->full_name(), "/", method.name());
    const auto request = RequestOf(method, who, known, n);
    Answered answer = CallAny(channel_, path, who.authorization, *request);
    const std::string sent = request->SerializeAsString();
    for (const std::string& secret : secrets_) {
      const bool was_sent =
          absl::StrContains(sent, secret) ||
          (secret.size() == 36 && absl::StrContains(sent, Uuid::Parse(secret)->bytes()));
      EXPECT_TRUE(was_sent || !absl::StrContains(answer.All(), secret))
          << who.name << " learns something of another cellar from " << path;
    }
    if (method.name() == "CreateInvitation") PutBack();
    return answer;
  }

  // What a call as a master did in cellar A: the next one finds it as it was.
  void PutBack() {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    work.exec("delete from rundlet.invitation where made_by is not null");
    work.commit();
  }

  // All rows of a cellar in all tables, hashed.
  std::string RowsOf(const Uuid& cellar) {
    pqxx::connection connection(db().connection_string());
    pqxx::work work(connection);
    std::string rows;
    for (const std::string& table : CellarTables(work)) {
      const pqxx::row row = work.exec_params1(
          absl::StrCat("select count(*), md5(string_agg(t::text, ';' order by t::text))",
                       " from rundlet.", table, " t where cellar_id = $1"),
          cellar.ToString());
      absl::StrAppend(&rows, table, " ", row[0].c_str(), " ", row[1].c_str(), "\n");
    }
    return rows;
  }

  std::unique_ptr<GrpcServer> server_;
  std::shared_ptr<grpc::Channel> channel_;
  NewDevice guest_, revoked_, other_;
  std::string own_entry_;
  Known others_, nobodys_;
  std::vector<std::string> secrets_;
  std::vector<Who> callers_;
};

TEST_F(IsolationTest, TheServerSaysWhichServicesItHas) {
  EXPECT_THAT(
      ServicesOf(channel_),
      UnorderedElementsAre("rundlet.v1.CellarService", "rundlet.v1.JoinService",
                           "grpc.health.v1.Health", "grpc.reflection.v1alpha.ServerReflection"));
  EXPECT_GE(Methods().size(), 17u);
}

TEST_F(IsolationTest, NothingOfAnotherCellarComesBackOrChanges) {
  const std::string before = RowsOf(other_.device.cellar_id);
  int asked = 0;
  for (const MethodDescriptor* method : Methods()) {
    for (const Who& who : callers_) {
      for (size_t n = 0; n < others_.ids.size(); ++n) {
        SCOPED_TRACE(absl::StrCat(method->name(), " by ", who.name, ", filled in ", n));
        const Answered others = Ask(*method, who, others_, n);
        const Answered nobodys = Ask(*method, who, nobodys_, n);
        EXPECT_EQ(others.status.error_code(), nobodys.status.error_code());
        EXPECT_EQ(WithoutEcho(others.All(), others_), WithoutEcho(nobodys.All(), nobodys_))
            << "what is there can be told from what is not";
        EXPECT_NE(others.status.error_code(), grpc::StatusCode::INTERNAL)
            << others.status.error_message();
        ++asked;
      }
    }
  }
  EXPECT_GE(asked, 17 * 7 * 7);
  EXPECT_EQ(RowsOf(other_.device.cellar_id), before);
}

TEST_F(IsolationTest, EachRoleIsRefusedWhatTheTableSays) {
  for (const MethodDescriptor* method : Methods()) {
    if (method->service()->name() != "CellarService") continue;
    for (const Who& who : callers_) {
      SCOPED_TRACE(absl::StrCat(method->name(), " by ", who.name));
      const grpc::StatusCode code = Ask(*method, who, nobodys_, 0).status.error_code();
      if (!who.device.has_value()) {
        EXPECT_EQ(code, grpc::StatusCode::UNAUTHENTICATED);
        continue;
      }
      // One's own device everybody may give up; this is not one's own.
      const MemberRole needed =
          method->name() == "RevokeDevice" ? MemberRole::kMaster : RoleForCall(method->name());
      EXPECT_EQ(code == grpc::StatusCode::PERMISSION_DENIED,
                !MayDo(who.device->device.role, needed))
          << code;
    }
  }
}

TEST_F(IsolationTest, TokensOfAnotherCellarAndOfNoneAreRefusedAlike) {
  TokenSecret wrong = {};
  const auto told = [&](const Uuid& cellar, const Uuid& device) {
    v1::GetDeviceResponse response;
    return Caller(channel_, FormatToken({cellar, device}, wrong)).GetDevice(response);
  };
  const grpc::Status others = told(other_.device.cellar_id, other_.device.device_id);
  const grpc::Status nobodys = told(nobodys_.ids[0], nobodys_.ids[1]);
  EXPECT_EQ(others.error_code(), grpc::StatusCode::UNAUTHENTICATED);
  EXPECT_EQ(others.error_message(), nobodys.error_message());
  EXPECT_EQ(others.error_details(), nobodys.error_details());
}

// Beneath the service: as the role that the server works as, set to cellar A.
TEST_F(IsolationTest, TheServersRoleSeesOneCellarInEveryTable) {
  pqxx::connection connection(db().connection_string());
  pqxx::work work(connection);
  const auto count = [&](const std::string& table, const char* condition, const Uuid& cellar) {
    return work
        .exec_params1(absl::StrCat("select count(*) from rundlet.", table, " where ", condition),
                      cellar.ToString())[0]
        .as<int>();
  };
  std::vector<std::string> filled;
  const std::vector<std::string> tables = CellarTables(work);
  for (const std::string& table : tables) {
    if (count(table, "cellar_id = $1", other_.device.cellar_id) > 0) filled.push_back(table);
  }
  EXPECT_THAT(filled, IsSupersetOf({"cellar", "device", "invitation", "journal", "journal_head",
                                    "seal", "tree_tile", "vessel", "held"}));
  work.exec("set local role rundlet_server");
  work.exec_params("select set_config('rundlet.cellar_id', $1, true)", cellar_id().ToString());
  for (const std::string& table : tables)
    EXPECT_EQ(count(table, "cellar_id <> $1", cellar_id()), 0) << table;
  for (const std::string& table : filled)
    EXPECT_GT(count(table, "cellar_id = $1", cellar_id()), 0) << table << " shows its own";
}

// A well-formed entry of cellar A that names what is cellar B's.
TEST_F(IsolationTest, AnEntryThatNamesAnothersThingsReachesNothing) {
  const std::string before = RowsOf(other_.device.cellar_id);
  const NewDevice writers = AddDevice("Tobias Wren", MemberRole::kMaster);
  TestDevice writer("Tobias's phone", WriterOf(writers.device));
  v1::Entry others;
  ASSERT_TRUE(others.ParseFromString(others_.entry));
  Push(writers, {GiveKey(writers.device, writer),
                 writer.Rack({DrawAll("Hollowmere Cask 7")}, {FillRest("C1")}).bytes,
                 writer.Observe("Hollowmere Damson").bytes, writer.Void(others).bytes});
  EXPECT_EQ(RowsOf(other_.device.cellar_id), before);
  v1::GetBoardResponse board;
  ASSERT_TRUE(Caller(channel_, writers)
                  .Call(&v1::CellarService::Stub::GetBoard, v1::GetBoardRequest(), board)
                  .ok());
  EXPECT_THAT(board.SerializeAsString(), Not(HasSubstr("Hollowmere")));
  v1::ListHeldResponse held;
  ASSERT_TRUE(Caller(channel_, writers)
                  .Call(&v1::CellarService::Stub::ListHeld, v1::ListHeldRequest(), held)
                  .ok());
  EXPECT_GE(held.held_size(), 2) << "what it names is not here";
  EXPECT_THAT(held.SerializeAsString(), Not(HasSubstr("Hollowmere")));
}

}  // namespace
}  // namespace rundlet::server

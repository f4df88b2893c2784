// Goal: whoever has an invitation's secret comes in with one device, once and in time, over TLS;
// nobody else does, and learns nothing. Method: a whole server on a real database, called through a
// real channel; time is a clock set by hand.
#include "server/service/join.h"

#include <grpcpp/grpcpp.h>

#include <atomic>
#include <future>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "rundlet/v1/join_service.grpc.pb.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/temp_dir.h"
#include "server/service/grpc_server.h"
#include "server/store/journal_store.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {
namespace {

using evidence::SigningKey;

Uuid IdOf(char n) { return *Uuid::FromBytes(std::string(16, n)); }

constexpr int kFree = 8;  // attempts that fail before the next one has to wait

class JoinTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    const auto tls = LoadOrMakeTls({.data_dir = dir_.path(), .listen = "127.0.0.1:0"}, absl::Now());
    ASSERT_TRUE(tls.ok()) << tls.status();
    auto server = GrpcServer::Start(
        {.listen = "127.0.0.1:0",
         .connection_string = db().connection_string(),
         .now = [this] { return absl::Now() + absl::Seconds(later_s_.load()); },
         .readers = 1,
         .tls = *tls,
         .failed_joins = {
             .free = kFree, .first_delay = absl::Minutes(10), .longest_delay = absl::Minutes(10)}});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
    const auto channel =
        ChannelToKnown(absl::StrCat("127.0.0.1:", server_->port()), tls->certificate_pem);
    ASSERT_TRUE(channel.ok()) << channel.status();
    channel_ = *channel;
    invitation_ = Invite(MemberRole::kHand);
  }

  NewInvitation Invite(MemberRole role, absl::string_view member = "Wren Hollis") {
    const auto made = admin().Invite(cellar_id(), member, role, absl::Hours(1));
    EXPECT_TRUE(made.ok()) << made.status();
    return made.ok() ? *made : NewInvitation{};
  }

  // A request as a device with the invitation makes it.
  static v1::JoinRequest RequestBy(const NewInvitation& invitation, const Uuid& device_id) {
    v1::JoinRequest request;
    request.set_cellar_id(invitation.cellar_id.ToBytes());
    request.set_device_id(device_id.ToBytes());
    request.set_device_name("Wren's laptop");
    Sign(request, *SigningKey::FromSeed(invitation.seed), TestKeyOf(device_id));
    return request;
  }

  static void Sign(v1::JoinRequest& request, const SigningKey& invitation,
                   const SigningKey& device) {
    request.set_invitation_key(std::string(invitation.public_key().bytes()));
    request.set_public_key(std::string(device.public_key().bytes()));
    const std::string message =
        evidence::EnrolmentMessage({.cellar_id = *Uuid::FromBytes(request.cellar_id()),
                                    .device_id = *Uuid::FromBytes(request.device_id()),
                                    .device_key = device.public_key(),
                                    .invitation_key = invitation.public_key()});
    request.set_invitation_signature(*invitation.Sign(message));
    request.set_device_signature(*device.Sign(message));
  }

  grpc::Status Join(const v1::JoinRequest& request) {
    grpc::ClientContext context;
    context.set_deadline(absl::ToChronoTime(absl::Now() + absl::Hours(3)));
    response_.Clear();
    return v1::JoinService::NewStub(channel_)->Join(&context, request, &response_);
  }
  // "", or why not.
  std::string Told(const v1::JoinRequest& request) {
    const grpc::Status status = Join(request);
    return status.ok() ? "" : ReasonIn(status);
  }

  std::string WhoAmI(const std::string& token) {
    v1::GetDeviceResponse device;
    grpc::ClientContext context;
    context.AddMetadata("authorization", "Bearer " + token);
    const grpc::Status status =
        v1::CellarService::NewStub(channel_)->GetDevice(&context, v1::GetDeviceRequest(), &device);
    return status.ok() ? device.member_name() : ReasonIn(status);
  }

  TempDir dir_;
  std::atomic<int64_t> later_s_ = 0;
  std::unique_ptr<GrpcServer> server_;
  std::shared_ptr<grpc::Channel> channel_;
  NewInvitation invitation_;
  v1::JoinResponse response_;
};

TEST_F(JoinTest, TheInvitedComesIn) {
  const v1::JoinRequest request = RequestBy(invitation_, IdOf('d'));
  ASSERT_EQ(Told(request), "");
  EXPECT_EQ(response_.device().cellar_id(), cellar_id().bytes());
  EXPECT_EQ(response_.device().cellar_name(), "Thistledown Wine Circle");
  EXPECT_EQ(response_.device().member_id(), invitation_.row.member_id.bytes());
  EXPECT_EQ(response_.device().role(), "hand");
  EXPECT_EQ(response_.device().public_key(), request.public_key());
  EXPECT_EQ(WhoAmI(response_.token()), "Wren Hollis");
  EXPECT_EQ((*admin().ListInvitations(cellar_id()))[0].used_by, IdOf('d'));
}

TEST_F(JoinTest, ALostAnswerIsAskedForAgain) {
  const v1::JoinRequest request = RequestBy(invitation_, IdOf('d'));
  ASSERT_EQ(Told(request), "");
  const std::string first = response_.token();
  ASSERT_EQ(WhoAmI(first), "Wren Hollis");
  ASSERT_EQ(Told(request), "");
  EXPECT_NE(response_.token(), first);
  EXPECT_EQ(WhoAmI(response_.token()), "Wren Hollis");
  EXPECT_EQ(WhoAmI(first), "TOKEN_REFUSED") << "the first token is void at once";
  later_s_ = 3601;
  EXPECT_EQ(Told(request), "INVITATION_EXPIRED");
}

TEST_F(JoinTest, AnInvitationIsGoodForOneDeviceAndOneKey) {
  ASSERT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('e'))), "INVITATION_USED");
  v1::JoinRequest other_key = RequestBy(invitation_, IdOf('d'));
  Sign(other_key, *SigningKey::FromSeed(invitation_.seed), TestKeyOf(IdOf('x')));
  EXPECT_EQ(Told(other_key), "INVITATION_USED");
}

TEST_F(JoinTest, ItEndsWithItsTimeOrWhenItIsTakenBack) {
  const NewInvitation revoked = Invite(MemberRole::kHand);
  ASSERT_TRUE(admin().RevokeInvitation(cellar_id(), revoked.row.key).ok());
  EXPECT_EQ(Told(RequestBy(revoked, IdOf('d'))), "INVITATION_REVOKED");
  later_s_ = 3599;
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
  const NewInvitation late = Invite(MemberRole::kHand);
  later_s_ = 3601;
  EXPECT_EQ(Told(RequestBy(late, IdOf('e'))), "INVITATION_EXPIRED");
}

TEST_F(JoinTest, ARevokedDeviceDoesNotComeBackByTheSame) {
  ASSERT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
  ASSERT_TRUE(admin().RevokeDevice(cellar_id(), IdOf('d')).ok());
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "DEVICE_REVOKED");
  EXPECT_EQ(Told(RequestBy(Invite(MemberRole::kHand), IdOf('d'))), "DEVICE_EXISTS");
  EXPECT_EQ(Told(RequestBy(Invite(MemberRole::kHand), IdOf('e'))), "");
}

// Who has not the secret gets one answer, to the byte, whatever is there.
TEST_F(JoinTest, WhoHasNotTheSecretLearnsNothing) {
  const SigningKey own = *SigningKey::FromSeed(std::string(32, 'o'));
  v1::JoinRequest no_cellar = RequestBy(invitation_, IdOf('d'));
  no_cellar.set_cellar_id(IdOf('?').ToBytes());
  Sign(no_cellar, own, TestKeyOf(IdOf('d')));
  v1::JoinRequest no_invitation = RequestBy(invitation_, IdOf('d'));
  Sign(no_invitation, own, TestKeyOf(IdOf('d')));
  v1::JoinRequest not_signed = RequestBy(invitation_, IdOf('d'));
  not_signed.set_invitation_signature(std::string(64, 's'));
  const grpc::Status first = Join(no_cellar);
  EXPECT_EQ(first.error_code(), grpc::StatusCode::UNAUTHENTICATED);
  EXPECT_EQ(ReasonIn(first), "INVITATION_REFUSED");
  for (const v1::JoinRequest& request : {no_invitation, not_signed}) {
    const grpc::Status other = Join(request);
    EXPECT_EQ(other.error_code(), first.error_code());
    EXPECT_EQ(other.error_message(), first.error_message());
    EXPECT_EQ(other.error_details(), first.error_details());
  }
}

TEST_F(JoinTest, WhoFailsAgainAndAgainHasToWait) {
  v1::JoinRequest bad = RequestBy(invitation_, IdOf('d'));
  bad.set_invitation_signature(std::string(64, 's'));
  for (int i = 0; i < kFree + 1; ++i) EXPECT_EQ(Told(bad), "INVITATION_REFUSED");
  EXPECT_EQ(Told(bad), "TOO_MANY_FAILURES");
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "TOO_MANY_FAILURES");
  later_s_ = 601;
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
}

// They cost the server as much.
TEST_F(JoinTest, EveryRefusalCounts) {
  ASSERT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
  v1::JoinRequest bad = RequestBy(Invite(MemberRole::kHand), IdOf('e'));
  bad.set_device_signature(std::string(64, 's'));
  for (int i = 0; i < kFree / 2; ++i) {
    EXPECT_EQ(Told(bad), "BAD_JOIN");
    EXPECT_EQ(Told(RequestBy(invitation_, IdOf('e'))), "INVITATION_USED");
  }
  EXPECT_EQ(Told(bad), "BAD_JOIN");
  EXPECT_EQ(Told(RequestBy(Invite(MemberRole::kHand), IdOf('e'))), "TOO_MANY_FAILURES");
}

// Who has an invitation that is not good any more does not lock the cellar by it.
TEST_F(JoinTest, OnlyWhoIsLetInHoldsTheCellarUp) {
  ASSERT_EQ(Told(RequestBy(invitation_, IdOf('d'))), "");
  const NewInvitation revoked = Invite(MemberRole::kHand);
  ASSERT_TRUE(admin().RevokeInvitation(cellar_id(), revoked.row.key).ok());
  const auto hold = HoldHead(cellar_id());
  EXPECT_EQ(Told(RequestBy(invitation_, IdOf('e'))), "INVITATION_USED");
  EXPECT_EQ(Told(RequestBy(revoked, IdOf('e'))), "INVITATION_REVOKED");
}

// A newcomer who waits for the cellar's turn holds up neither devices nor what can be refused at
// once.
TEST_F(JoinTest, StrangersWaitApart) {
  const std::string token = isoldes_token();
  v1::JoinRequest bad = RequestBy(invitation_, IdOf('e'));
  bad.set_device_signature(std::string(64, 's'));
  for (int i = 0; i < kFree + 1; ++i) EXPECT_EQ(Told(bad), "BAD_JOIN");
  later_s_ = 601;  // the wait is over
  auto hold = HoldHead(cellar_id());
  const v1::JoinRequest request = RequestBy(invitation_, IdOf('d'));
  auto joined = std::async(std::launch::async, [this, &request] {
    v1::JoinResponse response;
    grpc::ClientContext context;
    return v1::JoinService::NewStub(channel_)->Join(&context, request, &response).ok();
  });
  ASSERT_TRUE(Await([this] { return WaitingForLocks() > 0; }));
  EXPECT_EQ(WhoAmI(token), "Isolde Thornbury");
  later_s_ = 0;  // the wait is not over
  EXPECT_EQ(Told(bad), "TOO_MANY_FAILURES");
  hold = nullptr;
  EXPECT_TRUE(joined.get());
}

TEST_F(JoinTest, OneAddressKeepsNobodyOut) {
  const GrpcServer::Options defaults;
  EXPECT_LE(2 * defaults.limits.address_in_flight, static_cast<int>(defaults.waiting_calls));
  EXPECT_LE(2 * defaults.join_limits.address_in_flight, static_cast<int>(defaults.waiting_joins));
  for (int i = 0; i < 50; ++i) ASSERT_NE(Told(v1::JoinRequest()), "TOO_MANY_CALLS");
  std::string told;
  ASSERT_TRUE(Await([&] { return (told = Told(v1::JoinRequest())) == "TOO_MANY_CALLS"; })) << told;
}

TEST_F(JoinTest, WhatCannotBeMeantIsRefused) {
  const v1::JoinRequest good = RequestBy(invitation_, IdOf('d'));
  v1::JoinRequest bad = good;
  bad.set_device_signature(std::string(64, 's'));
  EXPECT_EQ(Told(bad), "BAD_JOIN");
  bad = good;
  bad.set_device_id(std::string(16, '\0'));
  EXPECT_EQ(Told(bad), "BAD_JOIN");
  bad = good;
  bad.set_public_key("short");
  EXPECT_EQ(Told(bad), "BAD_JOIN");
  for (const std::string& name : {std::string(), std::string(201, 'n'), std::string("a\nb")}) {
    bad = good;
    bad.set_device_name(name);
    EXPECT_EQ(Told(bad), "BAD_NAME");
  }
  // Signed for another device than the one that it names.
  bad = good;
  bad.set_device_id(IdOf('e').ToBytes());
  EXPECT_EQ(Told(bad), "INVITATION_REFUSED");
  EXPECT_EQ(Told(good), "");
}

TEST_F(JoinTest, OnlyTheFirstMasterBringsAMemberId) {
  const auto cellar = admin().NewCellar("Fenwick Lane", "Maud Ferrier", absl::Hours(1));
  ASSERT_TRUE(cellar.ok()) << cellar.status();
  v1::JoinRequest first = RequestBy(*cellar, IdOf('d'));
  first.set_member_id(IdOf('m').ToBytes());
  ASSERT_EQ(Told(first), "");
  EXPECT_EQ(response_.device().member_id(), IdOf('m').bytes());
  EXPECT_EQ(response_.device().member_name(), "Maud Ferrier");
  ASSERT_EQ(Told(first), "");
  EXPECT_EQ(response_.device().member_id(), IdOf('m').bytes()) << "also when asked again";
  const auto again =
      admin().Invite(cellar->cellar_id, "Tobias Wren", MemberRole::kMaster, absl::Hours(1));
  ASSERT_TRUE(again.ok()) << again.status();
  v1::JoinRequest second = RequestBy(*again, IdOf('e'));
  second.set_member_id(IdOf('m').ToBytes());
  ASSERT_EQ(Told(second), "");
  EXPECT_EQ(response_.device().member_id(), again->row.member_id.bytes());
}

TEST_F(JoinTest, TheServerIsKnownByItsCertificateOnly) {
  const auto key = MakeKey();
  const auto other = MakeCertificate(*key, {}, absl::Now());
  const auto channel = ChannelToKnown(absl::StrCat("127.0.0.1:", server_->port()), *other);
  ASSERT_TRUE(channel.ok()) << channel.status();
  channel_ = *channel;
  EXPECT_EQ(Join(RequestBy(invitation_, IdOf('d'))).error_code(), grpc::StatusCode::UNAVAILABLE);
  channel_ = PlainChannel(server_->port());
  EXPECT_EQ(Join(RequestBy(invitation_, IdOf('d'))).error_code(), grpc::StatusCode::UNAVAILABLE);
}

}  // namespace
}  // namespace rundlet::server

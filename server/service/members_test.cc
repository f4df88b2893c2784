// Goal: masters say who is in their cellar and who may come in, nobody else does, and a cellar is
// never left without a master. Method: a whole server on a real database, called through a real
// channel by a master, a hand and a guest.
#include "server/service/members.h"

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/service/grpc_server.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using Stub = v1::CellarService::Stub;

constexpr absl::Duration kLong = absl::Hours(72);  // a deadline beyond where the clock is set to

class MembersTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    server_ = Serve();
    other_server_ = Serve();
    guest_ = CellarTest::AddDevice("Wren Hollis", MemberRole::kGuest);
  }

  std::unique_ptr<GrpcServer> Serve() {
    auto server =
        GrpcServer::Start({.listen = "127.0.0.1:0",
                           .connection_string = db().connection_string(),
                           .now = [this] { return absl::Now() + absl::Seconds(later_s_.load()); },
                           .token_keep = absl::Hours(1)});
    EXPECT_TRUE(server.ok()) << server.status();
    return *std::move(server);
  }

  Caller As(const NewDevice& device) { return Caller(PlainChannel(server_->port()), device); }

  // "", or why not.
  template <typename Method, typename Request, typename Response>
  std::string Told(const NewDevice& device, Method method, const Request& request,
                   Response& response) {
    const grpc::Status status = As(device).Call(method, request, response, kLong);
    return status.ok() ? "" : ReasonIn(status);
  }
  std::string WhoAmI(const NewDevice& device, int port) {
    v1::GetDeviceResponse response;
    const grpc::Status status =
        Caller(PlainChannel(port), device)
            .Call(&Stub::GetDevice, v1::GetDeviceRequest(), response, kLong);
    return status.ok() ? response.role() : ReasonIn(status);
  }

  std::string Revoke(const NewDevice& by, const Uuid& device_id) {
    v1::RevokeDeviceRequest request;
    request.set_device_id(device_id.ToBytes());
    v1::RevokeDeviceResponse response;
    return Told(by, &Stub::RevokeDevice, request, response);
  }
  std::string SetRole(const NewDevice& by, const Uuid& member_id, v1::MemberRole role) {
    v1::SetMemberRoleRequest request;
    request.set_member_id(member_id.ToBytes());
    request.set_role(role);
    v1::SetMemberRoleResponse response;
    return Told(by, &Stub::SetMemberRole, request, response);
  }
  std::string Remove(const NewDevice& by, const Uuid& member_id) {
    v1::RemoveMemberRequest request;
    request.set_member_id(member_id.ToBytes());
    return Told(by, &Stub::RemoveMember, request, removed_);
  }

  v1::CreateInvitationRequest Invitation(char key, const Uuid& member_id) {
    v1::CreateInvitationRequest request;
    request.set_invitation_key(std::string(32, key));
    request.set_member_id(member_id.ToBytes());
    request.set_member_name("Tobias Wren");
    request.set_role(v1::MEMBER_ROLE_HAND);
    request.set_expires_at_us(absl::ToUnixMicros(absl::Now() + absl::Hours(24)));
    return request;
  }
  std::string Create(const NewDevice& by, const v1::CreateInvitationRequest& request) {
    v1::CreateInvitationResponse response;
    return Told(by, &Stub::CreateInvitation, request, response);
  }
  // The states of all invitations, the newest first; that of the cellar's making is the last.
  std::vector<v1::InvitationState> States() {
    v1::ListInvitationsResponse response;
    EXPECT_EQ(Told(isoldes(), &Stub::ListInvitations, v1::ListInvitationsRequest(), response), "");
    std::vector<v1::InvitationState> states;
    for (const v1::InvitationLine& line : response.invitations()) states.push_back(line.state());
    return states;
  }

  std::atomic<int64_t> later_s_ = 0;
  std::unique_ptr<GrpcServer> server_, other_server_;
  NewDevice guest_;
  v1::RemoveMemberResponse removed_;
};

TEST_F(MembersTest, DevicesAreListed) {
  v1::ListDevicesResponse response;
  ASSERT_EQ(Told(guest_, &Stub::ListDevices, v1::ListDevicesRequest(), response), "");
  ASSERT_EQ(response.devices_size(), 3);
  EXPECT_EQ(response.devices(0).device_id(), isolde().device_id.bytes());
  EXPECT_EQ(response.devices(0).role(), v1::MEMBER_ROLE_MASTER);
  EXPECT_EQ(response.devices(1).member_name(), "Bram Oakshott");
  EXPECT_EQ(response.devices(1).public_key(), "");
  EXPECT_EQ(response.devices(2).revoked_at_us(), 0);
  ASSERT_EQ(Revoke(isoldes(), guest_.device.device_id), "");
  ASSERT_EQ(Told(isoldes(), &Stub::ListDevices, v1::ListDevicesRequest(), response), "");
  EXPECT_NEAR(static_cast<double>(response.devices(2).revoked_at_us()),
              static_cast<double>(absl::ToUnixMicros(absl::Now())), 60e6);
}

TEST_F(MembersTest, ARevokedDeviceIsRefusedAtOnceHereAndSoonElsewhere) {
  EXPECT_EQ(WhoAmI(brams(), server_->port()), "hand");
  EXPECT_EQ(WhoAmI(brams(), other_server_->port()), "hand");
  ASSERT_EQ(Revoke(isoldes(), bram().device_id), "");
  EXPECT_EQ(WhoAmI(brams(), server_->port()), "DEVICE_REVOKED");
  EXPECT_EQ(WhoAmI(brams(), other_server_->port()), "hand") << "it believes it for a while";
  later_s_ = 3601;  // as long as token_keep, which is five seconds outside of tests
  EXPECT_EQ(WhoAmI(brams(), other_server_->port()), "DEVICE_REVOKED");
}

TEST_F(MembersTest, EverybodyMayGiveUpTheirOwnDeviceOnly) {
  EXPECT_EQ(Revoke(brams(), guest_.device.device_id), "NOT_ALLOWED");
  EXPECT_EQ(Revoke(brams(), bram().member_id), "NOT_ALLOWED") << "the same where there is none";
  EXPECT_EQ(Revoke(isoldes(), bram().member_id), "UNKNOWN_DEVICE");
  EXPECT_EQ(Revoke(guest_, guest_.device.device_id), "");
  EXPECT_EQ(Revoke(brams(), bram().device_id), "");
}

TEST_F(MembersTest, TheLastMasterStays) {
  EXPECT_EQ(Revoke(isoldes(), isolde().device_id), "LAST_MASTER");
  EXPECT_EQ(SetRole(isoldes(), isolde().member_id, v1::MEMBER_ROLE_HAND), "LAST_MASTER");
  EXPECT_EQ(Remove(isoldes(), isolde().member_id), "LAST_MASTER");
  EXPECT_EQ(WhoAmI(isoldes(), server_->port()), "master") << "nothing of it was done";
  ASSERT_EQ(SetRole(isoldes(), bram().member_id, v1::MEMBER_ROLE_MASTER), "");
  EXPECT_EQ(WhoAmI(brams(), server_->port()), "master");
  EXPECT_EQ(Remove(isoldes(), isolde().member_id), "");
  EXPECT_EQ(WhoAmI(isoldes(), server_->port()), "DEVICE_REVOKED");
}

TEST_F(MembersTest, ARoleIsChangedAtOnceButNotThatOfAReader) {
  const auto reader = admin().AddReader(cellar_id(), "Bram Oakshott", "kitchen wall");
  ASSERT_TRUE(reader.ok()) << reader.status();
  EXPECT_EQ(WhoAmI(brams(), server_->port()), "hand");
  ASSERT_EQ(SetRole(isoldes(), bram().member_id, v1::MEMBER_ROLE_MASTER), "");
  EXPECT_EQ(WhoAmI(brams(), server_->port()), "master");
  EXPECT_EQ(WhoAmI(*reader, server_->port()), "guest");
  ASSERT_EQ(SetRole(brams(), bram().member_id, v1::MEMBER_ROLE_GUEST), "");
  EXPECT_EQ(SetRole(brams(), bram().member_id, v1::MEMBER_ROLE_MASTER), "NOT_ALLOWED");
  EXPECT_EQ(SetRole(isoldes(), cellar_id(), v1::MEMBER_ROLE_HAND), "UNKNOWN_MEMBER");
  EXPECT_EQ(SetRole(isoldes(), bram().member_id, v1::MEMBER_ROLE_UNSPECIFIED), "BAD_ROLE");
}

TEST_F(MembersTest, InvitationsAreMadeListedAndTakenBack) {
  const v1::CreateInvitationRequest request = Invitation('k', guest_.device.member_id);
  ASSERT_EQ(Create(isoldes(), request), "");
  EXPECT_EQ(Create(isoldes(), request), "") << "twice is as good as once";
  v1::CreateInvitationRequest other = request;
  other.set_role(v1::MEMBER_ROLE_MASTER);
  EXPECT_EQ(Create(isoldes(), other), "INVITATION_EXISTS");
  v1::ListInvitationsResponse response;
  ASSERT_EQ(Told(isoldes(), &Stub::ListInvitations, v1::ListInvitationsRequest(), response), "");
  ASSERT_EQ(response.invitations_size(), 2);
  const v1::InvitationLine& line = response.invitations(0);
  EXPECT_EQ(line.invitation_key(), request.invitation_key());
  EXPECT_EQ(line.member_name(), "Tobias Wren");
  EXPECT_EQ(line.made_by_device_id(), isolde().device_id.bytes());
  EXPECT_EQ(line.expires_at_us(), request.expires_at_us());
  EXPECT_EQ(line.state(), v1::INVITATION_STATE_OPEN);
  EXPECT_EQ(response.invitations(1).made_by_device_id(), "") << "the server's keeper made it";

  v1::RevokeInvitationRequest revoke;
  revoke.set_invitation_key(request.invitation_key());
  v1::RevokeInvitationResponse revoked;
  EXPECT_EQ(Told(isoldes(), &Stub::RevokeInvitation, revoke, revoked), "");
  EXPECT_EQ(Told(isoldes(), &Stub::RevokeInvitation, revoke, revoked), "");
  EXPECT_EQ(States()[0], v1::INVITATION_STATE_REVOKED);
  revoke.set_invitation_key(std::string(32, '?'));
  EXPECT_EQ(Told(isoldes(), &Stub::RevokeInvitation, revoke, revoked), "UNKNOWN_INVITATION");
  later_s_ = 25 * 3600;
  EXPECT_THAT(States(), ElementsAre(v1::INVITATION_STATE_REVOKED, v1::INVITATION_STATE_EXPIRED));
}

TEST_F(MembersTest, AnInvitationMustBeMeant) {
  const v1::CreateInvitationRequest good = Invitation('k', guest_.device.member_id);
  v1::CreateInvitationRequest bad = good;
  bad.set_invitation_key("short");
  EXPECT_EQ(Create(isoldes(), bad), "BAD_KEY");
  bad = good;
  bad.set_member_id(std::string(16, '\0'));
  EXPECT_EQ(Create(isoldes(), bad), "BAD_ID");
  bad = good;
  bad.set_member_name("");
  EXPECT_EQ(Create(isoldes(), bad), "BAD_NAME");
  bad = good;
  bad.clear_role();
  EXPECT_EQ(Create(isoldes(), bad), "BAD_ROLE");
  for (const absl::Duration valid : {-absl::Hours(1), absl::Hours(24) * 30 + absl::Hours(1)}) {
    bad = good;
    bad.set_expires_at_us(absl::ToUnixMicros(absl::Now() + valid));
    EXPECT_EQ(Create(isoldes(), bad), "BAD_EXPIRY");
  }
  EXPECT_EQ(States().size(), 1) << "nothing of it was made";
}

TEST_F(MembersTest, WhoGoesTakesTheirInvitationsAlong) {
  const NewDevice maud = AddDeviceTo(cellar_id(), *Uuid::FromBytes(std::string(16, 'm')),
                                     "Maud Ferrier", MemberRole::kMaster);
  ASSERT_EQ(Create(maud, Invitation('a', guest_.device.member_id)), "");
  ASSERT_EQ(Create(isoldes(), Invitation('b', maud.device.member_id)), "");
  ASSERT_EQ(Create(isoldes(), Invitation('c', guest_.device.member_id)), "");
  ASSERT_EQ(Remove(isoldes(), maud.device.member_id), "");
  EXPECT_EQ(removed_.devices(), 1);
  EXPECT_EQ(removed_.invitations(), 2) << "the one that she made, and the one for her";
  EXPECT_THAT(States(), ElementsAre(v1::INVITATION_STATE_OPEN, v1::INVITATION_STATE_REVOKED,
                                    v1::INVITATION_STATE_REVOKED, v1::INVITATION_STATE_OPEN));
  EXPECT_EQ(WhoAmI(maud, server_->port()), "DEVICE_REVOKED");
  EXPECT_EQ(Remove(isoldes(), maud.device.member_id), "UNKNOWN_MEMBER");
}

TEST_F(MembersTest, AStolenDevicesInvitationsAreVoidAndSoAreALoweredMasters) {
  const Uuid mauds = *Uuid::FromBytes(std::string(16, 'm'));
  const NewDevice stolen = AddDeviceTo(cellar_id(), mauds, "Maud Ferrier", MemberRole::kMaster);
  const NewDevice kept = AddDeviceTo(cellar_id(), mauds, "Maud Ferrier", MemberRole::kMaster);
  ASSERT_EQ(Create(stolen, Invitation('a', guest_.device.member_id)), "");
  ASSERT_EQ(Create(kept, Invitation('b', guest_.device.member_id)), "");
  ASSERT_EQ(Revoke(kept, stolen.device.device_id), "");
  EXPECT_EQ(States()[1], v1::INVITATION_STATE_REVOKED);
  EXPECT_EQ(States()[0], v1::INVITATION_STATE_OPEN);
  ASSERT_EQ(SetRole(isoldes(), mauds, v1::MEMBER_ROLE_HAND), "");
  EXPECT_EQ(States()[0], v1::INVITATION_STATE_REVOKED);
}

TEST_F(MembersTest, TheErrorSaysWhatToDo) {
  v1::RevokeDeviceRequest request;
  request.set_device_id(isolde().device_id.ToBytes());
  v1::RevokeDeviceResponse response;
  EXPECT_THAT(As(isoldes()).Call(&Stub::RevokeDevice, request, response).error_message(),
              HasSubstr("make somebody else a master first"));
  v1::SetMemberRoleResponse changed;
  EXPECT_THAT(
      As(brams()).Call(&Stub::SetMemberRole, v1::SetMemberRoleRequest(), changed).error_message(),
      HasSubstr("you are a hand here, and it needs a master"));
}

}  // namespace
}  // namespace rundlet::server

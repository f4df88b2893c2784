// Goal: the administrator's commands make what a server then believes, and find what they mean.
// Method: on a real database, read back by the same and by another way.
#include "server/admin.h"

#include <openssl/rand.h>

#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/pg/connection_pool.h"
#include "server/service/authenticator.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;
using ::testing::SizeIs;

class AdminTest : public CellarTest {};

TEST_F(AdminTest, TheSameNameIsTheSameMember) {
  const NewDevice laptop = AddDevice("Bram Oakshott", MemberRole::kMaster);
  EXPECT_EQ(laptop.device.member_id, bram().member_id);
  EXPECT_NE(laptop.device.device_id, bram().device_id);
  EXPECT_EQ(laptop.device.cellar_name, "Thistledown Wine Circle");
  const NewDevice other = AddDevice("Wren Hollis", MemberRole::kGuest);
  EXPECT_NE(other.device.member_id, bram().member_id);
  const auto devices = admin().ListDevices(cellar_id());
  ASSERT_TRUE(devices.ok()) << devices.status();
  ASSERT_THAT(*devices, SizeIs(4));
  EXPECT_EQ((*devices)[0].device_id, isolde().device_id);
  EXPECT_EQ((*devices)[3].role, MemberRole::kGuest);
}

TEST_F(AdminTest, ACellarIsFoundByIdAndName) {
  const NewDevice second = NewCellar("Second Cellar");
  const auto by_name = admin().FindCellar("Second Cellar");
  ASSERT_TRUE(by_name.ok()) << by_name.status();
  EXPECT_EQ(by_name->cellar_id, second.device.cellar_id);
  const auto by_id = admin().FindCellar(cellar_id().ToString());
  ASSERT_TRUE(by_id.ok()) << by_id.status();
  EXPECT_EQ(by_id->name, "Thistledown Wine Circle");
  const absl::Status missing = admin().FindCellar("Third").status();
  EXPECT_EQ(missing.code(), absl::StatusCode::kNotFound);
  EXPECT_THAT(std::string(missing.message()), HasSubstr("Second Cellar"));
}

TEST_F(AdminTest, TwoCellarsOfOneNameAreNotMade) {
  EXPECT_EQ(
      admin().NewCellar("Thistledown Wine Circle", "Wren Hollis", absl::Hours(1)).status().code(),
      absl::StatusCode::kAlreadyExists);
  EXPECT_THAT(*admin().ListCellars(), SizeIs(1));
}

TEST_F(AdminTest, WhatCannotBeMeantIsRefused) {
  const auto is_refused = [](const absl::Status& status) {
    return status.code() == absl::StatusCode::kInvalidArgument;
  };
  EXPECT_TRUE(is_refused(admin().NewCellar("", "Isolde", absl::Hours(1)).status()));
  EXPECT_TRUE(is_refused(admin().NewCellar("Third", "", absl::Hours(1)).status()));
  EXPECT_TRUE(is_refused(admin().AddReader(cellar_id(), "Bram", "").status()));
  for (const absl::Duration valid :
       {absl::ZeroDuration(), absl::Hours(-1), absl::Hours(24) * 30 + absl::Seconds(1)})
    EXPECT_TRUE(is_refused(admin().Invite(cellar_id(), "Bram", MemberRole::kHand, valid).status()));
  // The cellar of the second attempt was not left behind.
  EXPECT_THAT(*admin().ListCellars(), SizeIs(1));
}

TEST_F(AdminTest, NothingIsMadeInACellarThatIsNotThere) {
  EXPECT_FALSE(admin().AddReader(bram().device_id, "Bram", "kitchen wall").ok());
  EXPECT_FALSE(admin().Invite(bram().device_id, "Bram", MemberRole::kHand, absl::Hours(1)).ok());
}

TEST_F(AdminTest, AnInvitationIsForTheMemberOfThatName) {
  const auto known =
      admin().Invite(cellar_id(), "Bram Oakshott", MemberRole::kHand, absl::Hours(1));
  ASSERT_TRUE(known.ok()) << known.status();
  EXPECT_EQ(known->row.member_id, bram().member_id);
  const auto first = admin().Invite(cellar_id(), "Wren Hollis", MemberRole::kHand, absl::Hours(1));
  const auto second = admin().Invite(cellar_id(), "Wren Hollis", MemberRole::kHand, absl::Hours(1));
  ASSERT_TRUE(first.ok() && second.ok());
  EXPECT_EQ(first->row.member_id, second->row.member_id) << "invited twice, one person";
  EXPECT_NE(first->row.key, second->row.key);
  EXPECT_EQ(evidence::SigningKey::FromSeed(first->seed)->public_key(), first->row.key);
}

TEST_F(AdminTest, AnInvitationIsTakenBack) {
  const auto made = admin().Invite(cellar_id(), "Wren Hollis", MemberRole::kHand, absl::Hours(1));
  ASSERT_TRUE(made.ok()) << made.status();
  ASSERT_TRUE(admin().RevokeInvitation(cellar_id(), made->row.key).ok());
  const auto all = admin().ListInvitations(cellar_id());
  ASSERT_TRUE(all.ok()) << all.status();
  EXPECT_EQ((*all)[0].StateAt(absl::Now()), v1::INVITATION_STATE_REVOKED);
  EXPECT_TRUE(absl::IsNotFound(admin().RevokeInvitation(
      cellar_id(), evidence::SigningKey::FromSeed(std::string(32, 'x'))->public_key())));
}

TEST_F(AdminTest, AReaderHasNoKeyAndIsAGuests) {
  const auto reader = admin().AddReader(cellar_id(), "Bram Oakshott", "kitchen wall");
  ASSERT_TRUE(reader.ok()) << reader.status();
  EXPECT_EQ(reader->device.role, MemberRole::kGuest);
  EXPECT_FALSE(reader->device.public_key.has_value());
  EXPECT_EQ(reader->device.member_id, bram().member_id);
}

TEST_F(AdminTest, ARevokedTokenIsRefusedWhenItIsForgotten) {
  ConnectionPool pool(
      {.connection_string = db().connection_string(), .prepare = CellarTransaction::Prepare});
  absl::Time now = absl::Now();
  Authenticator authenticator(pool, [&now] { return now; }, {.keep = absl::Seconds(5)});
  const std::string bearer = "Bearer " + brams_token();
  const auto authenticate = [&] {
    return authenticator.Authenticate(bearer, "192.0.2.1", absl::InfiniteFuture()).status();
  };
  EXPECT_TRUE(authenticate().ok());
  ASSERT_TRUE(admin().RevokeDevice(cellar_id(), bram().device_id).ok());
  EXPECT_TRUE(authenticate().ok());  // still believed
  now += absl::Seconds(5);
  EXPECT_EQ(authenticate().code(), absl::StatusCode::kUnauthenticated);
  EXPECT_EQ(admin().RevokeDevice(cellar_id(), bram().member_id).code(),
            absl::StatusCode::kNotFound);
}

}  // namespace
}  // namespace rundlet::server

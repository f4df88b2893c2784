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
  EXPECT_EQ(admin().NewCellar("Thistledown Wine Circle", "Wren Hollis", "phone").status().code(),
            absl::StatusCode::kAlreadyExists);
  EXPECT_THAT(*admin().ListCellars(), SizeIs(1));
}

TEST_F(AdminTest, NamesMustSaySomething) {
  EXPECT_EQ(admin().NewCellar("", "Isolde", "phone").status().code(),
            absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(admin().NewCellar("Third", "", "phone").status().code(),
            absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(admin().AddDevice(cellar_id(), "Bram", MemberRole::kHand, "").status().code(),
            absl::StatusCode::kInvalidArgument);
  // The cellar of the second attempt was not left behind.
  EXPECT_THAT(*admin().ListCellars(), SizeIs(1));
}

TEST_F(AdminTest, ADeviceIsNeverMadeInACellarThatIsNotThere) {
  EXPECT_FALSE(admin().AddDevice(bram().device_id, "Bram", MemberRole::kHand, "phone").ok());
}

TEST_F(AdminTest, ARevokedTokenIsRefusedWhenItIsForgotten) {
  ConnectionPool pool(
      {.connection_string = db().connection_string(), .prepare = CellarTransaction::Prepare});
  absl::Time now = absl::Now();
  Authenticator authenticator(
      pool, [&now] { return now; }, absl::Seconds(5));
  const std::string bearer = "Bearer " + brams_token();
  const auto authenticate = [&] {
    return authenticator.Authenticate(bearer, absl::InfiniteFuture()).status();
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

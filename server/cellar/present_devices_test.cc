// Goal: a push is judged by what its device is when its turn comes, not by what it was when it came
// in: nothing is recorded for who was put out, by a key that was changed, or beyond a role that was
// lowered meanwhile. Method: pushes as they wait for their turn, on a real database; and a whole
// server that believes for an hour what it knows of a device, while the test holds the cellar's
// head and changes devices as another server would.
#include "server/cellar/present_devices.h"

#include <future>
#include <memory>

#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/errors.h"
#include "server/pg/testing/await.h"
#include "server/service/grpc_server.h"
#include "server/store/journal_store.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::server {
namespace {

using evidence::SigningKey;
using rundlet::testing::TestDevice;
using ::testing::ElementsAre;

v1::Entry Enrolled(const SigningKey& key) {
  v1::Entry entry;
  entry.mutable_device_enrolled()->set_public_key(std::string(key.public_key().bytes()));
  entry.mutable_device_enrolled()->set_device_name("phone");
  return entry;
}

class PresentDevicesTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    replica_ = std::make_unique<Replica>(db().connection_string());
    auto server = GrpcServer::Start({.listen = "127.0.0.1:0",
                                     .connection_string = db().connection_string(),
                                     .now = absl::Now,
                                     .token_keep = absl::Hours(1)});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
    phone_ = std::make_unique<TestDevice>("phone", WriterOf(isolde()));
    tablet_ = std::make_unique<TestDevice>("tablet", WriterOf(bram()));
    isolde_ = std::make_unique<Caller>(PlainChannel(server_->port()), isoldes());
    bram_ = std::make_unique<Caller>(PlainChannel(server_->port()), brams());
    ASSERT_EQ(PushBy(*isolde_, GiveKey(isolde(), *phone_)), "recorded 1");
    ASSERT_EQ(PushBy(*bram_, GiveKey(bram(), *tablet_)), "recorded 2");
  }

  // What a device is told of one entry, or the reason of an error.
  static std::string PushBy(Caller& caller, const std::string& entry) {
    v1::PushResponse response;
    const grpc::Status status = caller.Push({entry}, response);
    if (!status.ok()) return ReasonIn(status);
    PushResult result;
    result.dispositions.assign(response.dispositions().begin(), response.dispositions().end());
    return Told(result).front();
  }
  static std::future<std::string> Begin(Caller& caller, const std::string& entry) {
    return std::async(std::launch::async, [&caller, entry] { return PushBy(caller, entry); });
  }

  server::Push PushOf(const Device& device, const std::string& entry) {
    server::Push push{.device = device};
    push.entries.push_back(CheckAlone(device, entry, sha_));
    push.signature = "verified";
    return push;
  }
  Device Present(const Device& device) {
    const auto tx = CellarTransaction::Begin(replica_->pool(), cellar_id(), absl::InfiniteFuture());
    const auto found = DeviceStore(**tx).Find(device.device_id);
    EXPECT_TRUE(found.ok()) << found.status();
    return found.ok() ? *found : Device{};
  }
  // "recorded 3", or why the push was refused.
  static std::string Outcome(const server::Push& push) {
    if (!push.refused.ok()) return ReasonOf(push.refused);
    PushResult result;
    result.dispositions.push_back(push.entries.front().disposition);
    return Told(result).front();
  }
  std::vector<std::string> Write(std::vector<server::Push> pushes) {
    std::vector<server::Push*> pointers;
    for (server::Push& push : pushes) pointers.push_back(&push);
    const auto size =
        replica_->writer().Write(cellar_id(), pointers, absl::Now() + absl::Seconds(30));
    EXPECT_TRUE(size.ok()) << size.status();
    std::vector<std::string> outcomes;
    for (const server::Push& push : pushes) outcomes.push_back(Outcome(push));
    return outcomes;
  }

  Sha256 sha_;
  std::unique_ptr<Replica> replica_;
  std::unique_ptr<GrpcServer> server_;
  std::unique_ptr<TestDevice> phone_, tablet_;
  std::unique_ptr<Caller> isolde_, bram_;
  const SigningKey new_key_ = *SigningKey::FromSeed(std::string(32, 'n'));
};

// B was verified by the old key before A, which changes it, was written: a seal of B behind A would
// be bad for ever.
TEST_F(PresentDevicesTest, NothingByTheOldKeyStandsBehindTheNewOne) {
  const Device device = Present(bram());
  const std::string a = tablet_->Write(Enrolled(new_key_)).bytes;
  const std::string b = tablet_->RegisterVessel("C1").bytes;
  const std::string other = phone_->RegisterVessel("C2").bytes;
  EXPECT_THAT(Write({PushOf(device, a), PushOf(device, b), PushOf(Present(isolde()), other)}),
              ElementsAre("recorded 3", "BAD_SIGNATURE", "recorded 4"));
  EXPECT_EQ(Present(bram()).public_key, new_key_.public_key());
  EXPECT_THAT(Write({PushOf(device, b)}), ElementsAre("BAD_SIGNATURE")) << "in the next batch, too";
  EXPECT_THAT(Write({PushOf(Present(bram()), b)}), ElementsAre("recorded 5"))
      << "nothing of it was decided, so it can be handed in again";
}

TEST_F(PresentDevicesTest, ParallelPushesAroundAChangeOfKey) {
  const std::string a = tablet_->Write(Enrolled(new_key_)).bytes;
  const std::string b = tablet_->RegisterVessel("C1").bytes;
  Caller again(PlainChannel(server_->port()), brams());
  auto hold = HoldHead(cellar_id());
  auto first = Begin(*bram_, a);
  ASSERT_TRUE(Await([this] { return WaitingForLocks() > 0; }));
  auto second = Begin(again, b);
  hold = nullptr;
  EXPECT_EQ(first.get(), "recorded 3");
  EXPECT_EQ(second.get(), "BAD_SIGNATURE");
  // Who stole the old key, and is believed to be the device for an hour.
  EXPECT_EQ(PushBy(*bram_, b), "BAD_SIGNATURE");
}

TEST_F(PresentDevicesTest, WhatWaitedWhileItsDeviceWasRevokedIsNotRecorded) {
  auto hold = HoldHead(cellar_id());
  auto waiting = Begin(*bram_, tablet_->RegisterVessel("C1").bytes);
  ASSERT_TRUE(Await([this] { return WaitingForLocks() > 0; }));
  ASSERT_TRUE(DeviceStore(*hold).Revoke(bram().device_id, absl::Now()).ok());
  ASSERT_TRUE(hold->Commit().ok());
  hold = nullptr;
  EXPECT_EQ(waiting.get(), "DEVICE_REVOKED");
  EXPECT_EQ(PushBy(*bram_, tablet_->RegisterVessel("C2").bytes), "DEVICE_REVOKED");
  EXPECT_EQ(PushBy(*isolde_, phone_->RegisterVessel("C3").bytes), "recorded 3")
      << "neither of the two is there";
}

// Who signs badly makes the server look up its own device, not those of the whole cellar.
TEST_F(PresentDevicesTest, ABadSignatureIsItsOwnDevicesMatter) {
  ASSERT_TRUE(admin().RevokeDevice(cellar_id(), isolde().device_id).ok());
  Caller forger(PlainChannel(server_->port()),
                NewDevice{.device = isolde(), .token = brams_token()});
  EXPECT_EQ(PushBy(forger, tablet_->RegisterVessel("C1").bytes), "BAD_SIGNATURE");
  v1::GetDeviceResponse response;
  EXPECT_TRUE(isolde_->GetDevice(response).ok()) << "she was not looked up anew";
}

TEST_F(PresentDevicesTest, WhatWaitedWhileItsRoleWasLoweredIsJudgedByTheNewOne) {
  const std::string setting = phone_->SetTolerance(10'000, std::nullopt).bytes;
  const std::string vessel = phone_->RegisterVessel("C1").bytes;
  auto hold = HoldHead(cellar_id());
  auto waiting = Begin(*isolde_, setting);
  ASSERT_TRUE(Await([this] { return WaitingForLocks() > 0; }));
  ASSERT_TRUE(DeviceStore(*hold).SetRole(isolde().member_id, MemberRole::kHand).ok());
  ASSERT_TRUE(hold->Commit().ok());
  hold = nullptr;
  EXPECT_EQ(waiting.get(), "returned NOT_ALLOWED");
  EXPECT_EQ(PushBy(*isolde_, vessel), "recorded 3") << "a hand may do that";
}

}  // namespace
}  // namespace rundlet::server

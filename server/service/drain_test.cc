// Goal: a server that is stopped in the middle of its work loses nothing that it acknowledged, and
// gives nobody an answer that makes a client do the wrong thing. Method: devices push steadily; the
// server is stopped, with patience and with none, while a second one stands by on the same
// database; what they wrote is compared with the journal byte for byte.
#include <atomic>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/health_client.h"
#include "server/pg/testing/await.h"
#include "server/service/grpc_server.h"
#include "server/testing/steady_pusher.h"

namespace rundlet::server {
namespace {

class DrainTest : public SteadyLoadTest {
 protected:
  std::unique_ptr<GrpcServer> StartServer() {
    auto server = GrpcServer::Start(
        {.listen = "127.0.0.1:0", .connection_string = db().connection_string(), .now = absl::Now});
    EXPECT_TRUE(server.ok()) << server.status();
    return *std::move(server);
  }
  // Pushers of two cellars, on whichever server is `port_`.
  void AddPushers() {
    const auto port = [this] { return port_.load(); };
    AddPusher("Linnet Ashdown", port);
    AddPusher("Corin Marsh", port);
    AddPusherOf(NewCellar("Harrow Lane Circle"), port);
  }
  bool AwaitMore(int entries) {
    const int wanted = Acknowledged() + entries;
    return Await([&] { return Acknowledged() >= wanted; }, absl::Minutes(2));
  }

  std::atomic<int> port_ = 0;
};

TEST_F(DrainTest, StoppedAgainAndAgainUnderLoad) {
  std::unique_ptr<GrpcServer> server = StartServer();
  port_ = server->port();
  AddPushers();
  for (const absl::Duration patience :
       {absl::Seconds(30), absl::ZeroDuration(), absl::Seconds(30), absl::ZeroDuration()}) {
    ASSERT_TRUE(AwaitMore(12));
    std::unique_ptr<GrpcServer> next = StartServer();
    const std::string address = absl::StrCat("127.0.0.1:", server->port());
    EXPECT_EQ(CheckHealth(address, "", absl::Seconds(10)), absl::OkStatus());
    const absl::Time begun = absl::Now();
    server->Stop(patience);
    EXPECT_LT(absl::Now() - begun, absl::Seconds(25)) << "nothing hangs on";
    EXPECT_FALSE(CheckHealth(address, "", absl::Seconds(1)).ok());
    port_ = next->port();
    server = std::move(next);
  }
  ASSERT_TRUE(AwaitMore(12));
  FinishAndCheck();
  int failures = 0;
  for (const auto& pusher : pushers()) failures += pusher->failures();
  EXPECT_GT(failures, 0) << "some were cut off, or the test shows nothing";
}

}  // namespace
}  // namespace rundlet::server

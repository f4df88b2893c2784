// Goal: two servers on one database serve the same cellars at the same time as if they were one.
// Method: devices push steadily, some to the one, some to the other, some to both in turn; then
// both are asked for the cellar, and the journal is compared with what was written.
#include <atomic>

#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/pg/testing/await.h"
#include "server/service/grpc_server.h"
#include "server/testing/steady_pusher.h"

namespace rundlet::server {
namespace {

class TwoServersTest : public SteadyLoadTest {
 protected:
  void SetUp() override {
    SteadyLoadTest::SetUp();
    for (auto& server : servers_) {
      auto started = GrpcServer::Start({.listen = "127.0.0.1:0",
                                        .connection_string = db().connection_string(),
                                        .now = absl::Now});
      ASSERT_TRUE(started.ok()) << started.status();
      server = *std::move(started);
    }
  }
  std::function<int()> Always(size_t i) {
    return [this, i] { return servers_[i]->port(); };
  }
  std::function<int()> InTurn() {
    return [this, n = 0u]() mutable { return servers_[n++ % servers_.size()]->port(); };
  }
  // What a server shows of the cellar, as bytes.
  std::string Board(size_t i) {
    v1::GetBoardResponse board;
    Caller caller(PlainChannel(servers_[i]->port()), isoldes_token());
    const grpc::Status status =
        caller.Call(&v1::CellarService::Stub::GetBoard, v1::GetBoardRequest(), board);
    EXPECT_TRUE(status.ok()) << status.error_message();
    return board.board().SerializeAsString();
  }

  std::array<std::unique_ptr<GrpcServer>, 2> servers_;
};

TEST_F(TwoServersTest, AtOnceAndInTurn) {
  AddPusher("Linnet Ashdown", Always(0));
  AddPusher("Corin Marsh", Always(1));
  AddPusher("Sorrel Vane", InTurn());
  AddPusherOf(NewCellar("Harrow Lane Circle"), InTurn());
  ASSERT_TRUE(Await([this] { return Acknowledged() >= 100; }, absl::Minutes(3)));
  FinishAndCheck();
  EXPECT_GT(Board(0).size(), 1000u);
  EXPECT_EQ(Board(0), Board(1)) << "each cache has followed what came in at the other";
  // And what comes in now is seen by both at once.
  Replica one(db().connection_string()), two(db().connection_string());
  EXPECT_EQ(one.Digest(cellar_id()), two.Digest(cellar_id()));
}

}  // namespace
}  // namespace rundlet::server

// Goal: who has a good token comes in whatever others behind the same address try, and what
// strangers try costs the database little. Method: on a real database, by an address from which
// bad tokens came; the test locks the table of devices, so that look-ups wait for it.
#include "server/service/authenticator.h"

#include <future>
#include <memory>

#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/errors.h"
#include "server/pg/testing/await.h"
#include "server/random.h"
#include "server/service/token.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {
namespace {

constexpr char kClub[] = "192.0.2.1";

class AuthenticatorTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    pool_ = std::make_unique<ConnectionPool>(ConnectionPool::Options{
        .connection_string = db().connection_string(), .prepare = CellarTransaction::Prepare});
    authenticator_ = std::make_unique<Authenticator>(
        *pool_, [this] { return now_; }, Authenticator::Options{.failures = {.free = 3}});
  }
  // "", or why not.
  std::string Told(const std::string& token, const std::string& address = kClub) {
    const auto device =
        authenticator_->Authenticate("Bearer " + token, address, absl::Now() + absl::Seconds(30));
    return device.ok() ? "" : ReasonOf(device.status());
  }
  // A token as the device might have it, and has not.
  std::string BadToken(const Device& device) {
    TokenSecret secret;
    FillRandom(absl::MakeSpan(secret));
    return FormatToken({device.cellar_id, device.device_id}, secret);
  }
  void FailOften() {
    for (int i = 0; i < 40; ++i) EXPECT_EQ(Told(BadToken(isolde())), "TOKEN_REFUSED");
  }

  absl::Time now_ = absl::Now();
  std::unique_ptr<ConnectionPool> pool_;
  std::unique_ptr<Authenticator> authenticator_;
};

// As after a restart: the server knows none of the tokens yet. The bad ones name the good one's
// device, whose id every member knows.
TEST_F(AuthenticatorTest, AGoodTokenIsNotRefusedForOthers) {
  FailOften();
  EXPECT_EQ(Told(isoldes_token()), "");
  EXPECT_EQ(Told(brams_token()), "");
}

TEST_F(AuthenticatorTest, FromWhereManyFailedFewAreLookedUpAtATime) {
  ASSERT_EQ(Told(brams_token()), "");
  FailOften();
  pqxx::connection owner(db().connection_string());
  auto lock = std::make_unique<pqxx::work>(owner);
  lock->exec("lock table rundlet.device in access exclusive mode");
  std::vector<std::future<std::string>> tried;
  for (int i = 0; i < 2; ++i)
    tried.push_back(std::async(std::launch::async, [this] { return Told(BadToken(isolde())); }));
  ASSERT_TRUE(Await([this] { return WaitingForLocks() == 2; }));
  EXPECT_EQ(Told(BadToken(isolde())), "TOO_MANY_FAILURES");
  EXPECT_EQ(Told(brams_token()), "") << "who is known is not looked up";
  lock = nullptr;
  for (std::future<std::string>& told : tried) EXPECT_EQ(told.get(), "TOKEN_REFUSED");
  EXPECT_EQ(Told(isoldes_token()), "");
}

TEST_F(AuthenticatorTest, FromWhereManyFailedFewAreLookedUpASecond) {
  std::string told;
  for (int i = 0; i < 300 && (told = Told(BadToken(isolde()))) == "TOKEN_REFUSED"; ++i) {
  }
  EXPECT_EQ(told, "TOO_MANY_FAILURES");
  EXPECT_EQ(Told(isoldes_token(), "192.0.2.2"), "") << "others notice nothing";
  now_ += absl::Milliseconds(10);
  EXPECT_EQ(Told(isoldes_token()), "") << "and those behind the address hardly anything";
}

}  // namespace
}  // namespace rundlet::server

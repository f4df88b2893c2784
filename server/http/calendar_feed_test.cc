// Goal: who has a guest's token reads what is to be done as a calendar, and nobody else does; the
// server answers nothing but reading. Method: a whole server on a real database, asked through a
// real socket on loopback with requests written by hand (RFC 9112).
#include "server/http/calendar_feed.h"

#include <arpa/inet.h>
#include <sys/socket.h>
#include <unistd.h>

#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "core/plans/plan_text.h"
#include "gmock/gmock.h"
#include "server/pg/testing/shell.h"
#include "server/pg/testing/temp_dir.h"
#include "server/service/grpc_server.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::server {
namespace {

using rundlet::testing::Fill;
using rundlet::testing::IdOf;
using rundlet::testing::kLitre;
using rundlet::testing::TestDevice;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

// A connection to the server from an address of this machine; -1 if there is none to be had.
int Connect(int port, const char* from) {
  const int fd = socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  inet_pton(AF_INET, from, &address.sin_addr);
  bool good = bind(fd, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) == 0;
  address.sin_port = htons(static_cast<uint16_t>(port));
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  good = good && connect(fd, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) == 0;
  if (good) return fd;
  close(fd);
  return -1;
}

// The whole answer to a request, or "" where nobody answers.
std::string Ask(int port, const std::string& request, const char* from = "127.0.0.1") {
  const int fd = Connect(port, from);
  std::string answer;
  if (fd >= 0 && send(fd, request.data(), request.size(), MSG_NOSIGNAL) ==
                     static_cast<ssize_t>(request.size())) {
    char buffer[4096];
    for (ssize_t n; (n = recv(fd, buffer, sizeof(buffer), 0)) > 0;)
      answer.append(buffer, static_cast<size_t>(n));
  }
  close(fd);
  return answer;
}

class CalendarFeedTest : public CellarTest {
 protected:
  void SetUp() override {
    CellarTest::SetUp();
    StartServer({});
  }
  void StartServer(const CallerLimitOptions& limits) {
    auto server = GrpcServer::Start({.listen = "127.0.0.1:0",
                                     .connection_string = db().connection_string(),
                                     .now = absl::Now,
                                     .token_keep = absl::ZeroDuration(),
                                     .feed_listen = "127.0.0.1:0",
                                     .zone = absl::UTCTimeZone(),
                                     .limits = limits});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
  }
  std::string Get(const std::string& path, const std::string& method = "GET") {
    return Ask(server_->feed_port(), absl::StrCat(method, " ", path,
                                                  " HTTP/1.1\r\nHost: localhost\r\n"
                                                  "Connection: close\r\n\r\n"));
  }
  // A lot with a plan whose first step is due.
  void StartPlan() {
    Replica replica(db().connection_string());
    TestDevice phone("phone", WriterOf(isolde()));
    v1::Entry start;
    v1::PlanStarted& plan = *start.mutable_plan_started();
    plan = *plans::ParsePlan("plan: Trial\nstep pitch: Stir the yeast in\nstep taste: Taste it\n");
    plan.set_plan_id(IdOf("plan").ToBytes());
    plan.set_lot_id(IdOf("Riesling").ToBytes());
    const auto pushed = replica.Push(
        isolde(),
        {phone.RegisterVessel("C1").bytes, phone.RegisterLot("Riesling").bytes,
         phone.Receive("Riesling", {Fill("C1", 20 * kLitre)}).bytes, phone.Write(start).bytes});
    ASSERT_TRUE(pushed.ok()) << pushed.status();
  }

  std::unique_ptr<GrpcServer> server_;
};

TEST_F(CalendarFeedTest, AGuestsAddressIsACalendarOfWhatIsDue) {
  StartPlan();
  const std::string token = AddDevice("Kitchen wall", MemberRole::kGuest).token;
  const std::string answer = Get(absl::StrCat("/calendar/", token, ".ics?zone=Europe/Berlin"));
  EXPECT_THAT(answer, AllOf(StartsWith("HTTP/1.1 200"),
                            HasSubstr("Content-Type: text/calendar; charset=utf-8"),
                            HasSubstr("\r\nBEGIN:VCALENDAR\r\n"), HasSubstr("Stir the yeast in"),
                            HasSubstr("END:VCALENDAR\r\n")));
  EXPECT_THAT(Get(absl::StrCat("/calendar/", token, ".ics"), "HEAD"),
              AllOf(StartsWith("HTTP/1.1 200"), Not(HasSubstr("BEGIN:VCALENDAR"))));
}

TEST_F(CalendarFeedTest, NobodyElseReadsIt) {
  EXPECT_THAT(Get(absl::StrCat("/calendar/", isoldes_token(), ".ics")),
              AllOf(StartsWith("HTTP/1.1 403"), HasSubstr("reader new")));
  EXPECT_THAT(Get("/calendar/nothing.ics"), StartsWith("HTTP/1.1 403"));
  const NewDevice guest = AddDevice("Kitchen wall", MemberRole::kGuest);
  ASSERT_TRUE(admin().RevokeDevice(cellar_id(), guest.device.device_id).ok());
  EXPECT_THAT(Get(absl::StrCat("/calendar/", guest.token, ".ics")), StartsWith("HTTP/1.1 403"));
}

TEST_F(CalendarFeedTest, ItHasTheLimitsOfTheService) {
  const std::string guests =
      absl::StrCat("/calendar/", AddDevice("Kitchen wall", MemberRole::kGuest).token, ".ics");
  StartServer({.device_calls = {.per_second = 0.001, .burst = 2}});
  for (int i = 0; i < 2; ++i) EXPECT_THAT(Get(guests), StartsWith("HTTP/1.1 200"));
  EXPECT_THAT(Get(guests), StartsWith("HTTP/1.1 429"));
  StartServer({.address_calls = {.per_second = 0.001, .burst = 2}});
  for (int i = 0; i < 2; ++i) EXPECT_THAT(Get("/calendar/nothing.ics"), StartsWith("HTTP/1.1 403"));
  EXPECT_THAT(Get(guests), StartsWith("HTTP/1.1 429"));
}

TEST_F(CalendarFeedTest, OneAddressDoesNotTakeAllConnections) {
  const std::string request = "GET / HTTP/1.0\r\n\r\n";
  std::vector<int> idle;
  for (int i = 0; i < 100; ++i) idle.push_back(Connect(server_->feed_port(), "127.0.0.1"));
  EXPECT_EQ(Ask(server_->feed_port(), request), "");
  EXPECT_THAT(Ask(server_->feed_port(), request, "127.0.0.2"), StartsWith("HTTP/1.1 404"));
  for (const int fd : idle) close(fd);
}

// Off loopback the feed has the server's certificate, or there is none.
TEST_F(CalendarFeedTest, OpenToOthersOverTlsOnly) {
  GrpcServer::Options options{.listen = "127.0.0.1:0",
                              .connection_string = db().connection_string(),
                              .now = absl::Now,
                              .feed_listen = "0.0.0.0:0",
                              .zone = absl::UTCTimeZone()};
  EXPECT_THAT(std::string(GrpcServer::Start(options).status().message()), HasSubstr("without TLS"));
  TempDir dir;
  const auto tls = LoadOrMakeTls({.data_dir = dir.path(), .listen = "0.0.0.0:0"}, absl::Now());
  ASSERT_TRUE(tls.ok()) << tls.status();
  options.tls = *tls;
  const auto server = GrpcServer::Start(options);
  ASSERT_TRUE(server.ok()) << server.status();
  const std::string token = AddDevice("Kitchen wall", MemberRole::kGuest).token;
  const auto get = [&](const std::string& flags) {
    return Shell(absl::StrCat("printf 'GET /calendar/", token,
                              ".ics HTTP/1.0\\r\\n\\r\\n' | openssl s_client -quiet ", flags,
                              " -connect 127.0.0.1:", (*server)->feed_port()));
  };
  EXPECT_THAT(get("-verify_return_error -CAfile " + dir.path() + "/tls.crt"),
              HasSubstr("BEGIN:VCALENDAR"));
  EXPECT_THAT(get("-tls1_1 -cipher DEFAULT@SECLEVEL=0"), Not(HasSubstr("BEGIN:VCALENDAR")));
  EXPECT_THAT(
      Ask((*server)->feed_port(), absl::StrCat("GET /calendar/", token, ".ics HTTP/1.0\r\n\r\n")),
      Not(HasSubstr("BEGIN:VCALENDAR")));
}

TEST_F(CalendarFeedTest, NothingButReading) {
  EXPECT_THAT(Get("/"), StartsWith("HTTP/1.1 404"));
  EXPECT_THAT(Get("/calendar/x.ics", "DELETE"),
              AllOf(StartsWith("HTTP/1.1 405"), HasSubstr("Allow: GET, HEAD")));
  const std::string token = AddDevice("Kitchen wall", MemberRole::kGuest).token;
  EXPECT_THAT(Get(absl::StrCat("/calendar/", token, ".ics?zone=Nowhere/Else")),
              AllOf(StartsWith("HTTP/1.1 400"), HasSubstr("Europe/Berlin")));
  for (const char* path : {"/etc/passwd", "../../etc/passwd", "file:/etc/passwd", "Europe/..%2Fx"})
    EXPECT_THAT(Get(absl::StrCat("/calendar/", token, ".ics?zone=", path)),
                StartsWith("HTTP/1.1 400"));
  EXPECT_THAT(Get("/calendar/nothing.ics?zone=Nowhere/Else"), StartsWith("HTTP/1.1 403"))
      << "who has no token learns nothing, and makes the server load nothing";
  EXPECT_THAT(Ask(server_->feed_port(), "nonsense\r\n\r\n"), Not(StartsWith("HTTP/1.1 200")));
}

}  // namespace
}  // namespace rundlet::server

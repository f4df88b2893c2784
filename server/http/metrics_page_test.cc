// Goal: the page of metrics says what the server did, and programs that read OpenMetrics read it.
// Method: a whole server on a real database takes pushes and pulls over gRPC; the page is fetched
// over HTTP and read by the reference parser of OpenMetrics, which refuses what breaks the grammar.
#include <map>
#include <sstream>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/audit_record.h"
#include "server/pg/testing/shell.h"
#include "server/pg/testing/temp_dir.h"
#include "server/service/grpc_server.h"
#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::server {
namespace {

using rundlet::testing::TestDevice;
using ::testing::DoubleEq;
using ::testing::Ge;
using ::testing::Gt;
using ::testing::HasSubstr;
using ::testing::Lt;

class MetricsPageTest : public CellarTest {
 protected:
  void SetUp() override {
    if (Shell("/usr/bin/python3 -c 'import prometheus_client' && echo yes") != "yes\n")
      GTEST_SKIP() << "there is no python3-prometheus-client to read the page with";
    CellarTest::SetUp();
    auto server = GrpcServer::Start({.listen = "127.0.0.1:0",
                                     .connection_string = db().connection_string(),
                                     .now = absl::Now,
                                     .metrics_listen = "127.0.0.1:0",
                                     .data_dir = dir_.path()});
    ASSERT_TRUE(server.ok()) << server.status();
    server_ = *std::move(server);
  }

  // What the parser prints, or says why not.
  std::string Read() {
    return Shell(absl::StrCat(
        RUNDLET_SOURCE_DIR,
        "/server/http/read_openmetrics.py http://127.0.0.1:", server_->metrics_port(), "/metrics"));
  }
  // Each sample's value by its name and labels.
  std::map<std::string, double> Samples() {
    std::map<std::string, double> samples;
    std::istringstream lines(Read());
    for (std::string line; std::getline(lines, line);) {
      const size_t space = line.rfind(' ');
      double value;
      if (space == std::string::npos || !absl::SimpleAtod(line.substr(space + 1), &value)) {
        ADD_FAILURE() << line;
        continue;
      }
      samples[line.substr(0, space)] = value;
    }
    return samples;
  }

  TempDir dir_;
  std::unique_ptr<GrpcServer> server_;
};

TEST_F(MetricsPageTest, SaysWhatTheServerDid) {
  TestDevice phone("phone", WriterOf(isolde()));
  Caller caller(PlainChannel(server_->port()), isoldes());
  const std::vector<std::string> entries = {
      GiveKey(isolde(), phone), phone.RegisterVessel("C1").bytes, phone.RegisterVessel("C2").bytes};
  v1::PushResponse pushed;
  for (int i = 0; i < 2; ++i) {
    const grpc::Status status = caller.Push(entries, pushed);
    ASSERT_TRUE(status.ok()) << status.error_message();
  }
  ASSERT_TRUE(caller.Push({"not an entry"}, pushed).ok());
  v1::PullRequest pull;
  pull.set_oldest_waiting_us(absl::ToInt64Microseconds(absl::Hours(2)));
  v1::PullResponse pulled;
  ASSERT_TRUE(caller.Call(&v1::CellarService::Stub::Pull, pull, pulled).ok());
  v1::GetDeviceResponse device;
  Caller stranger(PlainChannel(server_->port()), "rdl1.nonsense");
  ASSERT_FALSE(stranger.GetDevice(device).ok());

  std::map<std::string, double> samples = Samples();
  EXPECT_THAT(samples["rundlet_pushed_entries_total{disposition=recorded}"], 3);
  EXPECT_THAT(samples["rundlet_pushed_entries_total{disposition=already_recorded}"], 3);
  EXPECT_THAT(samples["rundlet_pushed_entries_total{disposition=returned}"], 1);
  EXPECT_THAT(samples["rundlet_returned_entries_total{reason=malformed}"], 1);
  EXPECT_THAT(samples["rundlet_batch_entries_count{}"], 1);
  EXPECT_THAT(samples["rundlet_batch_entries_sum{}"], 3);
  EXPECT_THAT(samples["rundlet_head_lock_wait_seconds_count{}"], 3);
  EXPECT_THAT(samples["rundlet_commit_duration_seconds_count{}"], 1);
  EXPECT_THAT(samples["rundlet_commit_duration_seconds_sum{}"], Gt(0));
  EXPECT_THAT(samples["rundlet_cache_lookups_total{result=miss}"], 1);
  EXPECT_THAT(samples["rundlet_cache_lookups_total{result=hit}"], Ge(2));
  EXPECT_THAT(samples["rundlet_cache_cellars{}"], 1);
  EXPECT_THAT(samples["rundlet_cache_bytes{}"], Gt(0));
  EXPECT_THAT(samples["rundlet_calls_total{method=Push,code=OK}"], 3);
  EXPECT_THAT(samples["rundlet_calls_total{method=Pull,code=OK}"], 1);
  EXPECT_THAT(samples["rundlet_calls_total{method=GetDevice,code=UNAUTHENTICATED}"], 1);
  EXPECT_THAT(samples["rundlet_call_duration_seconds_count{method=Push}"], 3);
  EXPECT_THAT(samples["rundlet_outbox_oldest_age_seconds{}"], 7200);
  EXPECT_THAT(samples["rundlet_outbox_devices{}"], 1);
  EXPECT_THAT(samples["rundlet_push_oldest_entry_age_seconds_count{}"], 2);
  EXPECT_THAT(samples["rundlet_queued_pushes{}"], 0);
  EXPECT_THAT(samples["rundlet_database_connections{state=idle}"], Ge(1));
  EXPECT_THAT(samples["rundlet_database_connections_max{}"], 13);

  pull.set_oldest_waiting_us(0);
  ASSERT_TRUE(caller.Call(&v1::CellarService::Stub::Pull, pull, pulled).ok());
  EXPECT_THAT(Samples()["rundlet_outbox_devices{}"], 0);
}

TEST_F(MetricsPageTest, SaysHowLongAgoAllWasAudited) {
  EXPECT_THAT(Samples()["rundlet_audit_age_seconds{}"],
              DoubleEq(std::numeric_limits<double>::infinity()));
  ASSERT_TRUE(
      WriteAuditRecord(dir_.path(), {.at = absl::Now() - absl::Hours(5), .problems = 2}).ok());
  std::map<std::string, double> samples = Samples();
  EXPECT_THAT(samples["rundlet_audit_age_seconds{}"], Ge(18'000));
  EXPECT_THAT(samples["rundlet_audit_age_seconds{}"], Lt(18'600));
  EXPECT_THAT(samples["rundlet_audit_problems{}"], 2);
}

TEST_F(MetricsPageTest, TheReaderRefusesOtherPages) {
  EXPECT_THAT(Shell(absl::StrCat(RUNDLET_SOURCE_DIR, "/server/http/read_openmetrics.py ",
                                 "http://127.0.0.1:", server_->metrics_port(), "/other")),
              HasSubstr("404"));
}

// Nothing on the page tells of whom or of what: it has no names, ids or addresses.
TEST_F(MetricsPageTest, NamesNobody) {
  Caller caller(PlainChannel(server_->port()), isoldes());
  v1::GetDeviceResponse device;
  ASSERT_TRUE(caller.GetDevice(device).ok());
  const std::string page = Read();
  for (const std::string& secret :
       {cellar_id().ToString(), isolde().device_id.ToString(), isolde().member_name,
        isolde().cellar_name, std::string("127.0.0.1")})
    EXPECT_FALSE(absl::StrContains(page, secret)) << secret;
}

}  // namespace
}  // namespace rundlet::server

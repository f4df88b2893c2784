// Goal: the small parts at the top of the server do what their headers say.
// Method: each by itself, without a database.
#include <atomic>
#include <set>

#include "absl/strings/str_cat.h"
#include "absl/synchronization/notification.h"
#include "gmock/gmock.h"
#include "rundlet/v1/error_details.pb.h"
#include "server/errors.h"
#include "server/listen_address.h"
#include "server/worker_pool.h"

namespace rundlet::server {
namespace {

TEST(ListenAddressTest, PlainTextIsForLoopbackOnly) {
  for (const char* good :
       {"127.0.0.1:7117", "127.0.0.1:0", "127.3.2.1:1", "localhost:7117", "[::1]:65535"}) {
    EXPECT_TRUE(CheckListenAddress(good, /*plain_text=*/true).ok()) << good;
    EXPECT_TRUE(CheckListenAddress(good, /*plain_text=*/false).ok()) << good;
  }
  for (const char* open : {"0.0.0.0:7117", "192.168.0.7:7117", "[::]:7117", "cellar.example:7117",
                           "128.0.0.1:1", "127.0.0.1.example:1"}) {
    EXPECT_TRUE(CheckListenAddress(open, /*plain_text=*/false).ok()) << open;
    EXPECT_THAT(std::string(CheckListenAddress(open, /*plain_text=*/true).message()),
                ::testing::HasSubstr("TLS"))
        << open;
  }
}

TEST(ListenAddressTest, AnAddressIsAHostAndAPort) {
  for (const char* bad : {"", "7117", ":7117", "::1:7117", "127.0.0.1",
                          "127.0.0.1:", "127.0.0.1:port", "127.0.0.1:65536", "127.0.0.1:-1"}) {
    EXPECT_THAT(std::string(CheckListenAddress(bad, /*plain_text=*/false).message()),
                ::testing::HasSubstr("write host:port"))
        << bad;
  }
  EXPECT_EQ(HostOf("[::1]:7117"), "::1");
  EXPECT_EQ(HostOf("cellar.example:7117"), "cellar.example");
  EXPECT_TRUE(IsAnyAddress(HostOf("[::]:1")));
  EXPECT_FALSE(IsAnyAddress(HostOf("127.0.0.1:1")));
}

TEST(ErrorsTest, TheTableIsWhole) {
  std::set<std::string> reasons;
  for (size_t i = 0; i < kErrorCount; ++i) {
    const auto error = static_cast<Error>(i);
    const ErrorSpec& spec = SpecOf(error);
    EXPECT_EQ(spec.error, error) << "the table is not in the order of Error at " << spec.reason;
    EXPECT_NE(spec.code, absl::StatusCode::kOk);
    EXPECT_FALSE(spec.text.empty());
    EXPECT_TRUE(reasons.insert(std::string(spec.reason)).second) << spec.reason;
    EXPECT_EQ(ReasonOf(MakeError(error)), spec.reason);
  }
}

TEST(ErrorsTest, CarryTheirDetails) {
  const grpc::Status status = ToGrpcStatus(MakeError(Error::kBusy, "cellar 7"));
  EXPECT_EQ(status.error_code(), grpc::StatusCode::RESOURCE_EXHAUSTED);
  EXPECT_THAT(status.error_message(), ::testing::HasSubstr("cellar 7"));
  v1::StatusDetails details;
  ASSERT_TRUE(details.ParseFromString(status.error_details()));
  bool has_retry = false;
  for (const auto& any : details.details()) {
    if (any.type_url() != "type.googleapis.com/google.rpc.RetryInfo") continue;
    v1::RetryInfo retry;
    ASSERT_TRUE(retry.ParseFromString(any.value()));
    EXPECT_EQ(retry.retry_delay().nanos(), 500'000'000);
    has_retry = true;
  }
  EXPECT_TRUE(has_retry);
  EXPECT_TRUE(ToGrpcStatus(absl::OkStatus()).ok());
}

TEST(ErrorsTest, TextsOfStorageStayInside) {
  const absl::Status inside = absl::InternalError("cannot write: relation \"secret\" is missing");
  const absl::Status outside = ForCaller(inside);
  EXPECT_EQ(outside.code(), absl::StatusCode::kInternal);
  EXPECT_EQ(ReasonOf(outside), "DEFECT");
  EXPECT_THAT(std::string(outside.message()), ::testing::Not(::testing::HasSubstr("secret")));
  EXPECT_EQ(ForCaller(MakeError(Error::kBusy)), MakeError(Error::kBusy));
  EXPECT_TRUE(ForCaller(absl::OkStatus()).ok());
  EXPECT_EQ(ReasonOf(ForCaller(absl::UnavailableError("x"))), "DATABASE_AWAY");
  EXPECT_EQ(ReasonOf(ForCaller(absl::AbortedError("x"))), "COLLISION");
}

TEST(WorkerPoolTest, TakesNoMoreThanMayWait) {
  WorkerPool pool(1, 2);
  absl::Notification started;
  absl::Notification go_on;
  std::atomic<int> ran = 0;
  ASSERT_TRUE(pool.TrySubmit([&] {
    started.Notify();
    go_on.WaitForNotification();
    ++ran;
  }));
  started.WaitForNotification();
  EXPECT_TRUE(pool.TrySubmit([&] { ++ran; }));
  EXPECT_TRUE(pool.TrySubmit([&] { ++ran; }));
  EXPECT_FALSE(pool.TrySubmit([&] { ++ran; }));
  pool.Requeue([&] { ++ran; });
  go_on.Notify();
  pool.Stop();
  EXPECT_EQ(ran, 4);
  EXPECT_FALSE(pool.TrySubmit([&] { ++ran; }));
}

TEST(WorkerPoolTest, ARequeuedTaskGoesBehindThoseThatWait) {
  WorkerPool pool(1, 8);
  std::string order;
  absl::Notification submitted;
  ASSERT_TRUE(pool.TrySubmit([&] {
    submitted.WaitForNotification();
    order += 'a';
    pool.Requeue([&] { order += 'A'; });
  }));
  ASSERT_TRUE(pool.TrySubmit([&] { order += 'b'; }));
  ASSERT_TRUE(pool.TrySubmit([&] { order += 'c'; }));
  submitted.Notify();
  pool.Stop();
  EXPECT_EQ(order, "abcA");
}

}  // namespace
}  // namespace rundlet::server

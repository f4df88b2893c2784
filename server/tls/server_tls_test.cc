// Goal: a server has one certificate for good, refuses what is not safe, and says how it is known.
// Method: files in a temporary directory.
#include "server/tls/server_tls.h"

#include <sys/stat.h>

#include <fstream>

#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

class ServerTlsTest : public ::testing::Test {
 protected:
  absl::StatusOr<ServerTls> Load() const { return LoadOrMakeTls(options_, absl::Now()); }
  std::string Told() const { return std::string(Load().status().message()); }
  std::string data(const char* name) const { return dir_.path() + "/data/" + name; }

  TempDir dir_;
  TlsOptions options_{.data_dir = dir_.path() + "/data", .listen = "127.0.0.1:7117"};
};

TEST_F(ServerTlsTest, MadeOnce) {
  const auto made = Load();
  ASSERT_TRUE(made.ok()) << made.status();
  EXPECT_EQ(made->known, Invitation::Known::kByFingerprint);
  struct stat info {};
  ASSERT_EQ(stat(data("tls.key").c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777, 0600u);
  const auto again = Load();
  ASSERT_TRUE(again.ok()) << again.status();
  EXPECT_EQ(again->fingerprint, made->fingerprint);
}

TEST_F(ServerTlsTest, AKeyThatOthersReadIsRefused) {
  ASSERT_TRUE(Load().ok());
  chmod(data("tls.key").c_str(), 0640);
  EXPECT_THAT(Told(), HasSubstr("chmod 600"));
  EXPECT_TRUE(absl::IsFailedPrecondition(Load().status()));
}

TEST_F(ServerTlsTest, GivenFilesGoTogetherAndFit) {
  ASSERT_TRUE(Load().ok());
  options_.certificate_file = data("tls.crt");
  EXPECT_THAT(Told(), HasSubstr("go together"));
  options_.key_file = data("tls.key");
  EXPECT_TRUE(Load().ok());
  options_.key_file = data("other.key");
  EXPECT_TRUE(absl::IsNotFound(Load().status())) << "what is given is never made";
  std::ofstream(options_.key_file) << *MakeKey();
  chmod(options_.key_file.c_str(), 0600);
  EXPECT_THAT(Told(), HasSubstr("not the one of the certificate"));
}

TEST_F(ServerTlsTest, PlainTextIsAskedFor) {
  options_.plain_text = true;
  const auto tls = Load();
  ASSERT_TRUE(tls.ok());
  EXPECT_TRUE(tls->plain_text());
  EXPECT_EQ(tls->known, Invitation::Known::kPlainText);
}

}  // namespace
}  // namespace rundlet::server

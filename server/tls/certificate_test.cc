// Goal: what the certificate says is what was asked for, and a key that is not its own is refused.
// Method: made and read by our code, and looked at by the openssl program.
#include "server/tls/certificate.h"

#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/pg/testing/shell.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

class CertificateTest : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto key = MakeKey();
    ASSERT_TRUE(key.ok()) << key.status();
    key_ = *key;
    const auto made = MakeCertificate(key_, {"cellar.example", "192.0.2.7", "::1"}, absl::Now());
    ASSERT_TRUE(made.ok()) << made.status();
    pem_ = *made;
    path_ = dir_.path() + "/tls.crt";
    std::ofstream(path_) << pem_;
  }

  TempDir dir_;
  std::string key_, pem_, path_;
};

TEST_F(CertificateTest, SaysWhatWasAskedFor) {
  const auto facts = ReadCertificate(pem_);
  ASSERT_TRUE(facts.ok()) << facts.status();
  EXPECT_TRUE(facts->self_signed);
  EXPECT_EQ(facts->dns_names.front(), kServerName);
  EXPECT_THAT(facts->dns_names, Contains("cellar.example"));
  const std::string text = Shell(absl::StrCat("openssl x509 -noout -text -in ", path_));
  EXPECT_THAT(text, HasSubstr("DNS:rundletd"));
  EXPECT_THAT(text, HasSubstr("IP Address:192.0.2.7"));
  EXPECT_THAT(text, HasSubstr("IP Address:0:0:0:0:0:0:0:1"));
  EXPECT_THAT(text, HasSubstr("ASN1 OID: prime256v1"));
  EXPECT_THAT(
      Shell(absl::StrCat("openssl x509 -noout -checkend ", 29L * 365 * 86'400, " -in ", path_)),
      HasSubstr("will not expire"));
}

TEST_F(CertificateTest, TheFingerprintIsTheOneThatOpensslShows) {
  const std::string shown =
      Shell(absl::StrCat("openssl x509 -noout -fingerprint -sha256 -in ", path_));
  EXPECT_THAT(shown, HasSubstr(PrintFingerprint(ReadCertificate(pem_)->fingerprint)));
}

TEST_F(CertificateTest, OnlyItsOwnKeyFits) {
  EXPECT_TRUE(CheckKeyFits(pem_, key_).ok());
  EXPECT_TRUE(absl::IsInvalidArgument(CheckKeyFits(pem_, *MakeKey())));
  EXPECT_TRUE(absl::IsInvalidArgument(CheckKeyFits(pem_, "nonsense")));
  EXPECT_TRUE(absl::IsInvalidArgument(CheckKeyFits(key_, key_)));
  EXPECT_TRUE(absl::IsInvalidArgument(ReadCertificate("").status()));
}

}  // namespace
}  // namespace rundlet::server

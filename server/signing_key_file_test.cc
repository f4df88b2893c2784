// Goal: a server has one key for good, which nobody else can read; what is wrong with its file is
// said. Method: files in a temporary directory.
#include "server/signing_key_file.h"

#include <sys/stat.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

class SigningKeyFileTest : public ::testing::Test {
 protected:
  SigningKeyFileTest() {
    std::string pattern = (std::filesystem::temp_directory_path() / "rundlet-key-XXXXXX").string();
    dir_ = mkdtemp(pattern.data());
  }
  ~SigningKeyFileTest() override { std::filesystem::remove_all(dir_); }

  absl::StatusOr<evidence::SigningKey> Load(uint8_t fill = 1) {
    return LoadOrMakeSigningKey(path(), [fill](absl::Span<uint8_t> bytes) {
      for (uint8_t& byte : bytes) byte = fill;
    });
  }
  std::string path() const { return dir_ + "/data/checkpoint.key"; }

  std::string dir_;
};

TEST_F(SigningKeyFileTest, MadeOnceForItsOwnerAlone) {
  const auto made = Load(1);
  ASSERT_TRUE(made.ok()) << made.status();
  struct stat info {};
  ASSERT_EQ(stat(path().c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777, 0600u);
  const auto again = Load(2);
  ASSERT_TRUE(again.ok()) << again.status();
  EXPECT_EQ(again->public_key(), made->public_key());
}

TEST_F(SigningKeyFileTest, WhatIsWrongIsSaid) {
  ASSERT_TRUE(Load().ok());
  chmod(path().c_str(), 0644);
  EXPECT_THAT(std::string(Load().status().message()), HasSubstr("chmod 600"));
  chmod(path().c_str(), 0600);
  std::ofstream(path()) << "nonsense";
  EXPECT_TRUE(absl::IsDataLoss(Load().status()));
  EXPECT_THAT(std::string(Load().status().message()), HasSubstr("from a backup"));
}

}  // namespace
}  // namespace rundlet::server

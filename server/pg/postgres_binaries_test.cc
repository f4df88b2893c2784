// Goal: the newest supported PostgreSQL is used, or the one that a cluster needs.
// Method: a made-up installation root with empty programs.
#include "server/pg/postgres_binaries.h"

#include <sys/stat.h>

#include <filesystem>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

void Install(const std::string& root, int major, bool executable = true) {
  const std::string bin = absl::StrCat(root, "/", major, "/bin");
  std::filesystem::create_directories(bin);
  for (const char* program : {"/initdb", "/postgres"}) {
    std::ofstream(bin + program) << "#!/bin/sh\n";
    ::chmod((bin + program).c_str(), executable ? 0755 : 0644);
  }
}

TEST(PostgresBinariesTest, TakesTheNewestSupported) {
  const TempDir root;
  Install(root.path(), 9);
  Install(root.path(), 15);
  Install(root.path(), 16);
  Install(root.path(), 17, /*executable=*/false);
  Install(root.path(), 99);
  const auto found = FindPostgresBinaries(std::nullopt, root.path());
  ASSERT_TRUE(found.ok()) << found.status();
  EXPECT_EQ(found->major, 16);
  EXPECT_EQ(found->initdb, root.path() + "/16/bin/initdb");
  EXPECT_EQ(found->postgres, root.path() + "/16/bin/postgres");
  EXPECT_EQ(FindPostgresBinaries(15, root.path())->major, 15);
}

TEST(PostgresBinariesTest, SaysWhatToInstall) {
  const TempDir root;
  Install(root.path(), 13);
  const absl::Status none = FindPostgresBinaries(std::nullopt, root.path()).status();
  EXPECT_EQ(none.code(), absl::StatusCode::kNotFound);
  EXPECT_THAT(std::string(none.message()), HasSubstr("install the package postgresql-15"));
  EXPECT_THAT(std::string(FindPostgresBinaries(16, root.path()).status().message()),
              HasSubstr("install the package postgresql-16"));
}

TEST(PostgresBinariesTest, FindsTheOnesOfThisMachine) {
  const auto found = FindPostgresBinaries();
  EXPECT_TRUE(found.ok()) << found.status();
}

}  // namespace
}  // namespace rundlet::server

// Goal: the socket's path always fits and its directory is private; nothing is left behind and
// nothing of others is removed. Method: short and long data directories, a foreign link.
#include "server/pg/socket_dir.h"

#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "gtest/gtest.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;

void ExpectPrivate(const std::string& dir) {
  struct stat info;
  ASSERT_EQ(::stat(dir.c_str(), &info), 0) << dir;
  EXPECT_EQ(info.st_mode & 07777, 0700u);
}

TEST(SocketDirTest, LiesInTheDataDirectoryWhereItsNameFits) {
  const TempDir data;
  const auto dir = MakeSocketDir(data.path(), std::nullopt);
  ASSERT_TRUE(dir.ok()) << dir.status();
  EXPECT_EQ(*dir, data.path() + "/socket");
  ExpectPrivate(*dir);
  std::ofstream(*dir + "/.s.PGSQL.5432.lock") << "1\n";
  RemoveSocketDir(data.path());
  EXPECT_FALSE(fs::exists(*dir));
}

TEST(SocketDirTest, LiesInAShortPlaceOtherwise) {
  const TempDir temp;
  const std::string data = temp.path() + "/" + std::string(90, 'x');
  ASSERT_TRUE(fs::create_directory(data));
  const auto first = MakeSocketDir(data, std::nullopt);
  ASSERT_TRUE(first.ok()) << first.status();
  EXPECT_LT(first->size(), 40u);
  EXPECT_EQ(fs::read_symlink(data + "/socket"), *first);
  ExpectPrivate(*first);

  // As after a kill: the next start removes the old directory and makes another.
  std::ofstream(*first + "/.s.PGSQL.5432") << "";
  const auto second = MakeSocketDir(data, std::nullopt);
  ASSERT_TRUE(second.ok()) << second.status();
  EXPECT_NE(*first, *second);
  EXPECT_FALSE(fs::exists(*first));
  RemoveSocketDir(data);
  EXPECT_FALSE(fs::exists(*second));
  EXPECT_FALSE(fs::exists(fs::symlink_status(data + "/socket")));
}

TEST(SocketDirTest, WhatOthersMadeIsLeftAlone) {
  const TempDir temp;
  const TempDir foreign;
  std::ofstream(foreign.path() + "/.s.PGSQL.5432") << "";
  fs::create_symlink(foreign.path(), temp.path() + "/socket");
  RemoveSocketDir(temp.path());
  EXPECT_TRUE(fs::exists(foreign.path() + "/.s.PGSQL.5432"));
}

}  // namespace
}  // namespace rundlet::server

// Goal: a database that an earlier server left behind is brought up to today's schema with all that
// is in it, and a database of a later one is left alone. Method: dumps of a small invented cellar,
// made by the real servers of those days (tests/integration/fixtures), are restored into a private
// database; today's server is started on it, audits and compares, and a device comes in and works.
#include <signal.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

using ::testing::AnyOf;
using ::testing::Eq;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr char kCircle[] = "Thistledown Wine Circle";

class UpgradeTest : public ::testing::TestWithParam<std::string> {
 protected:
  std::string Log() const {
    std::ostringstream text;
    text << std::ifstream(folder_.path() + "/server/log").rdbuf();
    return text.str();
  }
  // Makes the private database hold what the dump does, and nothing else.
  void Restore(const std::string& fixture) {
    ASSERT_NO_FATAL_FAILURE(server_.Start());
    ASSERT_EQ(server_.Sql("drop schema rundlet cascade").exit_code, 0);
    const Finished restored = RunProgram(
        {"/usr/bin/env", "psql", "-X", "-q", "-v", "ON_ERROR_STOP=1", "-h",
         server_.data() + "/socket", "-U", "rundlet", "-d", "rundlet", "-o", "/dev/null", "-f",
         std::string(RUNDLET_SOURCE_DIR) + "/tests/integration/fixtures/" + fixture});
    ASSERT_EQ(restored.exit_code, 0) << restored.err;
    ASSERT_EQ(server_.Stop(), 0);
    std::filesystem::resize_file(folder_.path() + "/server/log", 0);
  }
  std::string Count(const std::string& table) {
    return server_.Sql("select count(*) from rundlet." + table).out;
  }
  // What the server folds the cellar to, where its projections say the same.
  std::string ServersDigest() {
    const Finished compared = server_.Admin({"rebuild", "--compare"});
    EXPECT_EQ(compared.exit_code, 0) << compared.out << compared.err;
    const size_t at = compared.out.find("digest ");
    return at == std::string::npos ? "" : compared.out.substr(at + 7, 64);
  }

  TempDir folder_;
  ServerProcess server_{folder_.path() + "/server"};
};

TEST_P(UpgradeTest, AnEarlierDatabaseIsBroughtUp) {
  ASSERT_NO_FATAL_FAILURE(Restore(GetParam()));
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  EXPECT_THAT(Log(), HasSubstr("event=migrated"));
  const std::string entries = Count("journal");
  EXPECT_GT(std::stoi(entries), 10) << "the dump has work in it";
  const Finished audited = server_.Admin({"audit"});
  EXPECT_EQ(audited.exit_code, 0) << audited.out << audited.err;
  EXPECT_THAT(audited.out, HasSubstr("all is well"));

  // A device comes in, has the same cellar, works, and so does the server.
  ClientProcess sorrel(folder_.path() + "/sorrel");
  sorrel.SetClock("2026-03-01T10:00:00Z");
  sorrel.Do({"join", server_.Invite(kCircle, "Sorrel Vane", "master")});
  EXPECT_EQ(sorrel.Digest().substr(0, 64), ServersDigest());
  EXPECT_THAT(sorrel.Do("board"), HasSubstr("vessel 1"));
  sorrel.Do("vessel new \"Upgrade demijohn\" --capacity 5L");
  EXPECT_THAT(sorrel.Try("sync").exit_code, AnyOf(Eq(0), Eq(6)));
  EXPECT_EQ(sorrel.Digest().substr(0, 64), ServersDigest());
  EXPECT_GT(std::stoi(Count("journal")), std::stoi(entries));
  EXPECT_EQ(server_.Admin({"audit"}).exit_code, 0);
  EXPECT_EQ(server_.Stop(), 0);

  // The second start finds nothing to do.
  std::filesystem::resize_file(folder_.path() + "/server/log", 0);
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  EXPECT_THAT(Log(), Not(HasSubstr("event=migrated")));
  EXPECT_EQ(server_.Stop(), 0);
}

INSTANTIATE_TEST_SUITE_P(Schemas, UpgradeTest, ::testing::Values("schema-0004.sql"),
                         [](const auto& info) { return info.param.substr(7, 4); });

class NewerTest : public UpgradeTest {};

TEST_F(NewerTest, ALaterDatabaseIsLeftAlone) {
  ASSERT_NO_FATAL_FAILURE(server_.Start());
  server_.NewCellar(kCircle, "Maud Ferrier");
  ASSERT_EQ(server_
                .Sql("insert into rundlet.schema_migration values (9999, 'later', sha256('x'), "
                     "'2030-01-01')")
                .exit_code,
            0);
  ASSERT_EQ(server_.Stop(), 0);
  const Finished refused = server_.Admin({"serve", "--listen", "127.0.0.1:0"});
  EXPECT_EQ(refused.exit_code, 1);
  EXPECT_THAT(refused.err, HasSubstr("the database is newer than this program"));
  EXPECT_THAT(refused.err, HasSubstr("run a newer rundletd"));
  const Finished audit = server_.Admin({"audit"});
  EXPECT_EQ(audit.exit_code, 1) << "commands keep off it, too";
  EXPECT_THAT(audit.err, HasSubstr("newer"));
}

}  // namespace
}  // namespace rundlet::testing

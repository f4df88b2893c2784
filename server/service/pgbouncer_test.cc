// Goal: the server works through PgBouncer in transaction mode, where each transaction may meet
// another session of the database, and leaves nothing in the sessions for strangers. Method: the
// real PgBouncer with two sessions for two servers, one of which would want thirteen; devices push
// steadily, while a stranger who shares the sessions looks at what it finds in them.
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <set>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "server/pg/child_process.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/shell.h"
#include "server/pg/testing/temp_dir.h"
#include "server/service/grpc_server.h"
#include "server/testing/steady_pusher.h"

namespace rundlet::server {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;

constexpr int kSessions = 2;

// PgBouncer between a database and whoever comes; killed when this goes.
class PgBouncer {
 public:
  // `database` is a connection string with a socket's directory.
  PgBouncer(const TempDir& dir, const TestDatabase& database) : dir_(dir.path()) {
    pqxx::connection direct(database.connection_string());
    const std::string socket_dir = direct.hostname();
    std::ofstream(dir_ + "/users") << "\"rundlet\" \"\"\n";
    std::ofstream(dir_ + "/ini") << "[databases]\n* = host=" << socket_dir << " port=5432\n"
                                 << "[pgbouncer]\nlisten_addr =\nlisten_port = 6543\n"
                                 << "unix_socket_dir = " << dir_ << "\nauth_type = trust\n"
                                 << "auth_file = " << dir_ << "/users\npool_mode = transaction\n"
                                 << "default_pool_size = " << kSessions << "\nlogfile = " << dir_
                                 << "/log\n";
    connection_string_ =
        absl::StrCat("host=", dir_, " port=6543 user=rundlet dbname=", database.name());
    // It refuses to be root, and only its owner gets into the database.
    std::optional<OsUser> user;
    if (geteuid() == 0) {
      struct stat owner = {};
      EXPECT_EQ(stat(socket_dir.c_str(), &owner), 0);
      user = *FindOsUser(owner.st_uid);
      EXPECT_EQ(chown(dir_.c_str(), owner.st_uid, owner.st_gid), 0);
    }
    const auto pid = StartChild({.argv = {"/usr/sbin/pgbouncer", dir_ + "/ini"},
                                 .working_dir = "/",
                                 .output_path = dir_ + "/out",
                                 .run_as = user,
                                 .parent_death_signal = SIGKILL});
    EXPECT_TRUE(pid.ok()) << pid.status();
    pid_ = pid.value_or(-1);
    EXPECT_TRUE(Await([this] {
      return Shell("psql -X -At -d '" + connection_string_ + "' -c 'select 1'") == "1\n";
    })) << LastLines(dir_ + "/log");
  }
  ~PgBouncer() {
    if (pid_ <= 0) return;
    kill(pid_, SIGKILL);
    waitpid(pid_, nullptr, 0);
  }
  const std::string& connection_string() const { return connection_string_; }

 private:
  const std::string dir_;
  std::string connection_string_;
  pid_t pid_ = -1;
};

class PgBouncerTest : public SteadyLoadTest {
 protected:
  void SetUp() override {
    if (access("/usr/sbin/pgbouncer", X_OK) != 0)
      GTEST_SKIP() << "PgBouncer is not installed (Debian: pgbouncer)";
    SteadyLoadTest::SetUp();
    bouncer_ = std::make_unique<PgBouncer>(dir_, db());
  }
  std::unique_ptr<GrpcServer> StartServer(bool transaction_pooling) {
    auto server = GrpcServer::Start({.listen = "127.0.0.1:0",
                                     .connection_string = bouncer_->connection_string(),
                                     .transaction_pooling = transaction_pooling,
                                     .now = absl::Now});
    EXPECT_TRUE(server.ok()) << server.status();
    return *std::move(server);
  }
  // What a stranger finds in a session that is lent to it.
  std::string LookAround(pqxx::connection& stranger) {
    pqxx::work work(stranger);
    const auto row = work.exec1(
        "select current_user, current_setting('plan_cache_mode'), "
        "current_setting('enable_seqscan'), "
        "current_setting('statement_timeout'), coalesce(current_setting('rundlet.cellar_id', "
        "true), ''), (select count(*) from pg_prepared_statements)");
    std::vector<std::string> words;
    for (const auto& field : row) words.push_back(field.as<std::string>());
    return absl::StrJoin(words, " ");
  }

  TempDir dir_;
  std::unique_ptr<PgBouncer> bouncer_;
};

TEST_F(PgBouncerTest, ServesAndLeavesNothingBehind) {
  const auto one = StartServer(true), two = StartServer(true);
  const auto at = [](const GrpcServer& server) { return [port = server.port()] { return port; }; };
  AddPusher("Linnet Ashdown", at(*one));
  AddPusher("Corin Marsh", at(*two));
  AddPusherOf(NewCellar("Harrow Lane Circle"), at(*one));
  pqxx::connection stranger(bouncer_->connection_string());
  std::set<std::string> found;
  ASSERT_TRUE(Await(
      [&] {
        found.insert(LookAround(stranger));
        return Acknowledged() >= 60;
      },
      absl::Minutes(3)));
  EXPECT_THAT(found, ElementsAre(LookAround(stranger))) << "always the same";
  EXPECT_THAT(found, ElementsAre("rundlet auto on 0  0"));
  EXPECT_EQ(Shell("psql -X -At -d '" + db().connection_string() +
                  "' -c \"select count(*) <= 2 from pg_stat_activity where datname = "
                  "current_database() and application_name not like '%admin%' and "
                  "application_name not in ('psql', '')\""),
            "t\n");
  FinishAndCheck();
}

// So that the test above shows something: without the flag it is otherwise.
TEST_F(PgBouncerTest, WithoutTheFlagItIsOtherwise) {
  const auto server = StartServer(false);
  Caller caller(PlainChannel(server->port()), isoldes_token());
  v1::GetDeviceResponse device;
  pqxx::connection stranger(bouncer_->connection_string());
  bool odd = false;
  for (int i = 0; i < 20 && !odd; ++i)
    odd = !caller.GetDevice(device).ok() || LookAround(stranger) != "rundlet auto on 0  0";
  EXPECT_TRUE(odd);
}

}  // namespace
}  // namespace rundlet::server

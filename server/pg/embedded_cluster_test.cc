// Goal: a private cluster starts, serves, stops, and starts again whatever happened to it or to us,
// with never two postmasters and never a full cluster lost. Method: real clusters in temporary
// directories; a helper program that is killed in our stead; damage done to the directory by hand.
#include "server/pg/embedded_cluster.h"

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <pqxx/pqxx>
#include <string>
#include <utility>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "server/pg/child_process.h"
#include "server/pg/cluster_directory.h"
#include "server/pg/cluster_processes.h"
#include "server/pg/pq_status.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/temp_dir.h"

namespace rundlet::server {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

using ClusterOr = absl::StatusOr<std::unique_ptr<EmbeddedCluster>>;

class EmbeddedClusterTest : public testing::Test {
 protected:
  ~EmbeddedClusterTest() override { KillClusterProcesses(cluster_dir()).IgnoreError(); }

  std::string data_dir() const { return temp_.path() + "/data"; }
  std::string cluster_dir() const { return data_dir() + "/postgres"; }

  EmbeddedCluster::Options Options() const {
    return {.data_dir = data_dir(), .unsafe_without_fsync = true};
  }
  ClusterOr Start() const { return EmbeddedCluster::Start(Options()); }

  // Starts the helper program in our stead; its first word is "ready" once it serves.
  pid_t StartHolder() const {
    const absl::StatusOr<pid_t> pid = StartChild({.argv = {RUNDLET_CLUSTER_HOLDER, data_dir()},
                                                  .working_dir = temp_.path(),
                                                  .output_path = HolderOutput(),
                                                  .parent_death_signal = SIGKILL});
    EXPECT_TRUE(pid.ok()) << pid.status();
    return pid.value_or(0);
  }
  std::string HolderOutput() const { return temp_.path() + "/holder"; }
  bool HolderIsReady() const { return absl::StrContains(LastLines(HolderOutput()), "ready "); }
  static void Kill(pid_t pid) {
    ::kill(pid, SIGKILL);
    ::waitpid(pid, nullptr, 0);
  }

  static absl::StatusOr<std::string> Ask(const EmbeddedCluster& cluster, const std::string& sql) {
    return Guard("ask", [&] {
      pqxx::connection connection(cluster.connection_string());
      pqxx::work work(connection);
      const pqxx::result rows = work.exec(sql);
      work.commit();
      return std::string(rows.empty() ? "" : rows[0][0].c_str());
    });
  }
  static void Remember(const EmbeddedCluster& cluster) {
    const auto made = Ask(cluster, "create table lot as select 'Thistledown' as name");
    ASSERT_TRUE(made.ok()) << made.status();
  }
  static void ExpectRemembered(const EmbeddedCluster& cluster) {
    EXPECT_EQ(Ask(cluster, "select name from lot").value_or("nothing"), "Thistledown");
  }

  // What pg_controldata says of the stopped cluster's state.
  std::string ControlState() const {
    const absl::Status status =
        RunChild({.argv = {"/bin/sh", "-c",
                           "$(dirname $(ls -d /usr/lib/postgresql/$0/bin/initdb))/pg_controldata "
                           "$1 | grep 'cluster state'",
                           Version(), cluster_dir()},
                  .working_dir = "/",
                  .output_path = temp_.path() + "/control"});
    EXPECT_TRUE(status.ok()) << status;
    return LastLines(temp_.path() + "/control");
  }
  std::string Version() const { return LastLines(cluster_dir() + "/PG_VERSION"); }

  TempDir temp_;
};

TEST_F(EmbeddedClusterTest, ServesWithDurableSettingsAndStopsCleanly) {
  ClusterOr cluster = EmbeddedCluster::Start({.data_dir = data_dir(), .max_connections = 23});
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  const std::pair<const char*, const char*> settings[] = {{"fsync", "on"},
                                                          {"full_page_writes", "on"},
                                                          {"synchronous_commit", "on"},
                                                          {"data_checksums", "on"},
                                                          {"server_encoding", "UTF8"},
                                                          {"lc_collate", "C"},
                                                          {"listen_addresses", ""},
                                                          {"unix_socket_permissions", "0700"},
                                                          {"max_connections", "23"},
                                                          {"jit", "off"},
                                                          {"TimeZone", "UTC"}};
  for (const auto& [name, value] : settings) {
    EXPECT_EQ(*Ask(**cluster, absl::StrCat("show ", name)), value) << name;
  }
  struct stat socket_dir;
  ASSERT_EQ(::stat((data_dir() + "/socket").c_str(), &socket_dir), 0);
  EXPECT_EQ(socket_dir.st_mode & 0777, 0700u);
  Remember(**cluster);
  EXPECT_TRUE((*cluster)->Stop().ok());
  EXPECT_TRUE(
      Await([&] { return ClusterProcesses(cluster_dir()).empty(); }));  // its logger goes last
  EXPECT_THAT(ControlState(), ::testing::EndsWith("shut down"));
  EXPECT_FALSE(fs::exists(data_dir() + "/socket"));
  cluster->reset();

  cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  ExpectRemembered(**cluster);
}

TEST_F(EmbeddedClusterTest, ASecondServerIsRefusedAndHarmsNothing) {
  const ClusterOr first = Start();
  ASSERT_TRUE(first.ok()) << first.status();
  const pid_t postmaster = (*first)->postmaster_pid();
  const ClusterOr second = Start();
  EXPECT_EQ(second.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(second.status().message()),
              HasSubstr(absl::StrCat("in use by process ", ::getpid())));
  EXPECT_TRUE(Ask(**first, "select 1").ok());
  EXPECT_EQ((*first)->postmaster_pid(), postmaster);
}

TEST_F(EmbeddedClusterTest, AKilledPostmasterIsStartedAgainWithEveryCommit) {
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  Remember(**cluster);
  for (int round = 0; round < 3; ++round) {
    const pid_t killed = (*cluster)->postmaster_pid();
    ::kill(killed, SIGKILL);
    ASSERT_TRUE(Await([&] {
      const pid_t pid = (*cluster)->postmaster_pid();
      return pid != 0 && pid != killed && Ask(**cluster, "select 1").ok();
    }));
    ExpectRemembered(**cluster);
  }
}

TEST_F(EmbeddedClusterTest, APostmasterThatSomebodyStoppedIsStartedAgain) {
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  const pid_t stopped = (*cluster)->postmaster_pid();
  ::kill(stopped, SIGINT);
  EXPECT_TRUE(Await(
      [&] { return (*cluster)->postmaster_pid() != stopped && Ask(**cluster, "select 1").ok(); }));
}

TEST_F(EmbeddedClusterTest, ItsPostmasterEndsWithAKilledServer) {
  const pid_t holder = StartHolder();
  ASSERT_TRUE(Await([&] { return HolderIsReady(); })) << LastLines(HolderOutput());
  ASSERT_FALSE(ClusterProcesses(cluster_dir()).empty());
  Kill(holder);
  EXPECT_TRUE(Await([&] { return ClusterProcesses(cluster_dir()).empty(); }));
  EXPECT_THAT(ControlState(), ::testing::EndsWith("shut down"));
}

TEST_F(EmbeddedClusterTest, AServerKilledTogetherWithItsPostmasterStartsAgain) {
  const pid_t holder = StartHolder();
  ASSERT_TRUE(Await([&] { return HolderIsReady(); })) << LastLines(HolderOutput());
  ::kill(holder, SIGSTOP);  // so that it cannot start another one
  for (const pid_t pid : ClusterProcesses(cluster_dir())) ::kill(pid, SIGKILL);
  Kill(holder);
  ASSERT_TRUE(fs::exists(cluster_dir() + "/postmaster.pid"));
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  EXPECT_TRUE(Ask(**cluster, "select 1").ok());
}

TEST_F(EmbeddedClusterTest, AKillWhileTheClusterIsMadeOrStartedIsMended) {
  const absl::Time begun = absl::Now();
  const pid_t undisturbed = StartHolder();
  ASSERT_TRUE(Await([&] { return HolderIsReady(); })) << LastLines(HolderOutput());
  const absl::Duration whole = absl::Now() - begun;
  Kill(undisturbed);
  for (const double part : {0.01, 0.2, 0.4, 0.6, 0.8, 0.9, 0.98}) {
    ASSERT_TRUE(Await([&] { return ClusterProcesses(cluster_dir()).empty(); }));
    fs::remove_all(data_dir());
    const pid_t holder = StartHolder();
    // Not a condition but a point of the making: whatever was reached, the next start must do.
    absl::SleepFor(part * whole);
    Kill(holder);
    ClusterOr cluster = Start();
    ASSERT_TRUE(cluster.ok()) << "killed at " << part << ": " << cluster.status();
    EXPECT_TRUE(Ask(**cluster, "select 1").ok());
    EXPECT_FALSE(fs::exists(cluster_dir() + ".making"));
    EXPECT_TRUE((*cluster)->Stop().ok());
  }
}

TEST_F(EmbeddedClusterTest, ADirectoryWithALockAloneIsMadeReady) {
  fs::create_directories(data_dir());
  std::ofstream(data_dir() + "/lock") << "1\n";
  ASSERT_EQ(::chmod(data_dir().c_str(), 0700), 0);
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
}

TEST_F(EmbeddedClusterTest, AHalfMadeClusterIsRemade) {
  fs::create_directories(cluster_dir() + ".making/base");
  std::ofstream(cluster_dir() + ".making/PG_VERSION") << "15\n";
  ASSERT_EQ(::chmod(data_dir().c_str(), 0711), 0);
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  EXPECT_FALSE(fs::exists(cluster_dir() + ".making"));
}

TEST_F(EmbeddedClusterTest, WhatIsNotAWholeClusterIsRefusedAndKept) {
  fs::create_directories(cluster_dir() + "/base");
  std::ofstream(cluster_dir() + "/base/precious") << "the only copy";
  const ClusterOr cluster = Start();
  EXPECT_EQ(cluster.status().code(), absl::StatusCode::kFailedPrecondition);
  EXPECT_THAT(std::string(cluster.status().message()), HasSubstr("restore it from a backup"));
  EXPECT_EQ(LastLines(cluster_dir() + "/base/precious"), "the only copy");
}

// A cluster of ours with a postmaster that does not know us, as if an earlier server had left it.
class EarlierPostmasterTest : public EmbeddedClusterTest {
 protected:
  // Makes the cluster, and starts a postmaster without the keeper and its death signal.
  pid_t StartStray() {
    {
      const ClusterOr cluster = Start();
      EXPECT_TRUE(cluster.ok()) << cluster.status();
      if (!cluster.ok()) return 0;
      Remember(**cluster);
    }
    const auto directory = PrepareClusterDirectory(data_dir(), "", false);
    EXPECT_TRUE(directory.ok()) << directory.status();
    const absl::StatusOr<pid_t> pid =
        StartChild({.argv = {directory->binaries.postgres, "-D", cluster_dir(), "-c",
                             "listen_addresses=", "-k", cluster_dir()},
                    .working_dir = cluster_dir(),
                    .output_path = temp_.path() + "/stray",
                    .run_as = directory->run_as});
    EXPECT_TRUE(pid.ok()) << pid.status();
    EXPECT_TRUE(Await([&] {
      return absl::StrContains(LastLines(temp_.path() + "/stray"), "ready to accept connections");
    }));
    return pid.value_or(0);
  }
};

TEST_F(EarlierPostmasterTest, IsStoppedCleanlyAndReplaced) {
  const pid_t stray = StartStray();
  ASSERT_NE(stray, 0);
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  int status = 0;
  EXPECT_EQ(::waitpid(stray, &status, WNOHANG), stray);
  EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0);
  EXPECT_THAT(LastLines(temp_.path() + "/stray"), HasSubstr("database system is shut down"));
  EXPECT_NE((*cluster)->postmaster_pid(), stray);
  ExpectRemembered(**cluster);
}

TEST_F(EarlierPostmasterTest, ThatHangsIsEnded) {
  const pid_t stray = StartStray();
  ASSERT_NE(stray, 0);
  ::kill(stray, SIGSTOP);
  EmbeddedCluster::Options options = Options();
  options.stop_timeout = absl::Milliseconds(200);
  const ClusterOr cluster = EmbeddedCluster::Start(options);
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  EXPECT_EQ(::waitpid(stray, nullptr, WNOHANG), stray);
  ExpectRemembered(**cluster);
}

TEST_F(EarlierPostmasterTest, BackendsThatOutlivedItAreEnded) {
  const pid_t stray = StartStray();
  ASSERT_NE(stray, 0);
  const std::vector<pid_t> all = ClusterProcesses(cluster_dir());
  // Stopped, they cannot notice the death of their postmaster, as one that computes does not.
  for (const pid_t pid : all) ::kill(pid, SIGSTOP);
  Kill(stray);
  ASSERT_THAT(ClusterProcesses(cluster_dir()), SizeIs(all.size() - 1));
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  ExpectRemembered(**cluster);
}

TEST_F(EarlierPostmasterTest, ItsNumberMayBelongToAnotherByNow) {
  Kill(StartStray());
  ASSERT_TRUE(Await([&] { return ClusterProcesses(cluster_dir()).empty(); }));
  const std::string path = cluster_dir() + "/postmaster.pid";
  std::ifstream old(path);
  std::string line, rest;
  std::getline(old, line);
  std::getline(old, rest, '\0');
  std::ofstream(path) << ::getpid() << "\n" << rest;
  const ClusterOr cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  ExpectRemembered(**cluster);
}

TEST_F(EmbeddedClusterTest, AStopThatHangsIsForced) {
  EmbeddedCluster::Options options = Options();
  options.stop_timeout = absl::Milliseconds(200);
  ClusterOr cluster = EmbeddedCluster::Start(options);
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  Remember(**cluster);
  ::kill((*cluster)->postmaster_pid(), SIGSTOP);
  EXPECT_EQ((*cluster)->Stop().code(), absl::StatusCode::kInternal);
  EXPECT_THAT(ClusterProcesses(cluster_dir()), IsEmpty());
  cluster->reset();
  cluster = Start();
  ASSERT_TRUE(cluster.ok()) << cluster.status();
  ExpectRemembered(**cluster);
}

TEST_F(EmbeddedClusterTest, AFailedStartQuotesTheLogAndLeavesNothingRunning) {
  ASSERT_TRUE(Start().ok());
  std::ofstream(cluster_dir() + "/postgresql.conf", std::ios::app) << "work_mem = 'a barrel'\n";
  const ClusterOr cluster = Start();
  EXPECT_EQ(cluster.status().code(), absl::StatusCode::kInternal);
  EXPECT_THAT(std::string(cluster.status().message()), HasSubstr("a barrel"));
  EXPECT_THAT(ClusterProcesses(cluster_dir()), IsEmpty());
}

TEST_F(EmbeddedClusterTest, ALongDataDirectoryAndOddCharactersWork) {
  const std::string parent = temp_.path() + "/it's a, \"deep\" cellar " + std::string(90, 'x');
  ASSERT_TRUE(fs::create_directory(parent));
  const std::string data = parent + "/data";
  {
    const ClusterOr cluster =
        EmbeddedCluster::Start({.data_dir = data, .unsafe_without_fsync = true});
    ASSERT_TRUE(cluster.ok()) << cluster.status();
    EXPECT_TRUE(Ask(**cluster, "select 1").ok());
  }
  EXPECT_FALSE(fs::exists(fs::symlink_status(data + "/socket")));
}

TEST_F(EmbeddedClusterTest, RootMayNotRunItAsRootNorChangeItsOwner) {
  if (::geteuid() != 0) GTEST_SKIP() << "only root can choose the user";
  EmbeddedCluster::Options options = Options();
  options.run_as_user = "root";
  EXPECT_EQ(EmbeddedCluster::Start(options).status().code(), absl::StatusCode::kInvalidArgument);
  options.run_as_user = "nobody";
  { ASSERT_TRUE(EmbeddedCluster::Start(options).ok()); }
  options.run_as_user = "daemon";
  EXPECT_EQ(EmbeddedCluster::Start(options).status().code(), absl::StatusCode::kFailedPrecondition);
  ASSERT_TRUE(Start().ok());  // as its owner, without being told
}

}  // namespace
}  // namespace rundlet::server

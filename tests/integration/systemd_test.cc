// Goal: the unit for systemd is right, keeps the service in narrow bounds, and does not keep from
// it what it needs. Method: systemd's own checker reads the unit and puts a number on its exposure;
// all system calls of a whole life of the server with its database are recorded with strace, and
// compared with what the unit lets through.
#include <signal.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <thread>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr double kMostExposed = 1.5;  // of 10; systemd calls up to 2 "OK"

std::string Program() {
  return (std::filesystem::read_symlink("/proc/self/exe").parent_path() / "rundletd").string();
}

std::string ReadAll(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path).rdbuf();
  return text.str();
}

Finished Analyze(std::vector<std::string> words) {
  words.insert(words.begin(), {"/usr/bin/env", "systemd-analyze"});
  return RunProgram(words, {{"SYSTEMD_COLORS", "0"}});
}

class SystemdTest : public ::testing::Test {
 protected:
  void SetUp() override {
    if (Analyze({"--version"}).exit_code != 0) GTEST_SKIP() << "there is no systemd-analyze here";
    text_ = ReadAll(std::string(RUNDLET_SOURCE_DIR) + "/systemd/rundletd.service");
    unit_ = folder_.path() + "/rundletd.service";
    // As installed, but where the program was built.
    std::ofstream(unit_) << absl::StrReplaceAll(text_, {{"/usr/local/bin/rundletd", Program()}});
  }
  // The values of a setting in the unit, one after the other.
  std::string Setting(const std::string& name) {
    std::string all;
    for (const absl::string_view line : absl::StrSplit(text_, '\n')) {
      if (absl::StartsWith(line, name + "="))
        absl::StrAppend(&all, line.substr(name.size() + 1), "\n");
    }
    return all;
  }

  TempDir folder_;
  std::string text_, unit_;
};

TEST_F(SystemdTest, TheUnitIsWellFormed) {
  const Finished verified = Analyze({"verify", "--man=no", unit_});
  EXPECT_EQ(verified.exit_code, 0);
  EXPECT_THAT(verified.out + verified.err, IsEmpty());
  std::ofstream(unit_, std::ios::app) << "[Service]\nProtectSistem=strict\n";
  EXPECT_THAT(Analyze({"verify", "--man=no", unit_}).err, HasSubstr("ProtectSistem"))
      << "the checker would find a slip";
}

TEST_F(SystemdTest, ItIsExposedToLittle) {
  const Finished rated = Analyze({"security", "--offline=true", "--no-pager", unit_});
  std::smatch found;
  ASSERT_TRUE(std::regex_search(rated.out, found, std::regex("exposure level for \\S+: ([0-9.]+)")))
      << rated.out << rated.err;
  EXPECT_LE(std::stod(found[1]), kMostExposed) << rated.out;
  RecordProperty("exposure", found[1].str());
}

// The system calls of a set such as "@system-service", and of the sets in it.
std::set<std::string> CallsOf(const std::string& set) {
  std::set<std::string> calls;
  for (const absl::string_view line :
       absl::StrSplit(Analyze({"syscall-filter", "--no-pager", set}).out, '\n')) {
    const std::string name(absl::StripAsciiWhitespace(line));
    if (name.empty() || name == set || name[0] == '#') continue;
    if (name[0] == '@') {
      calls.merge(CallsOf(name));
    } else {
      calls.insert(name);
    }
  }
  return calls;
}

// What SystemCallFilter lets through, as systemd.exec(5) reads its lines.
std::set<std::string> AllowedBy(const std::string& filter) {
  std::set<std::string> allowed;
  for (absl::string_view line : absl::StrSplit(filter, '\n', absl::SkipEmpty())) {
    const bool denies = absl::ConsumePrefix(&line, "~");
    for (const absl::string_view set : absl::StrSplit(line, ' ')) {
      for (const std::string& call : CallsOf(std::string(set))) {
        if (denies) {
          allowed.erase(call);
        } else {
          allowed.insert(call);
        }
      }
    }
  }
  return allowed;
}

TEST_F(SystemdTest, ItLetsThroughWhatTheServerDoes) {
  const std::set<std::string> allowed = AllowedBy(Setting("SystemCallFilter"));
  ASSERT_GT(allowed.size(), 200u);
  ASSERT_FALSE(allowed.contains("mount"));
  const std::string families = Setting("RestrictAddressFamilies");

  // Everything up to the program itself - strace and setpriv - is done by systemd in its stead.
  const std::string data = folder_.path() + "/data", port = folder_.path() + "/port";
  std::filesystem::permissions(folder_.path(), std::filesystem::perms(0777));
  std::vector<std::string> words = {"/usr/bin/env", "strace", "-f",
                                    "-qq",          "-o",     folder_.path() + "/trace"};
  const std::vector<std::string> unprivileged = {
      "setpriv",        "--reuid=65534",   "--regid=65534",      "--clear-groups",
      "--no-new-privs", "--inh-caps=-all", "--bounding-set=-all"};
  if (geteuid() == 0) words.insert(words.end(), unprivileged.begin(), unprivileged.end());
  words.insert(words.end(),
               {Program(), "serve", "--listen", "127.0.0.1:0", "--data", data, "--port-file", port,
                "--feed", "127.0.0.1:0", "--metrics", "127.0.0.1:0"});
  {
    Background server(words, {}, folder_.path() + "/log");
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::minutes(3);
    while (!std::filesystem::exists(port)) {
      ASSERT_TRUE(server.Alive() && std::chrono::steady_clock::now() < deadline)
          << ReadAll(folder_.path() + "/log");
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    std::string number = ReadAll(port);
    number.pop_back();
    const Finished made =
        RunProgram({Program(), "cellar", "new", "Thistledown Wine Circle", "--master",
                    "Maud Ferrier", "--data", data, "--address", "127.0.0.1:" + number});
    ASSERT_EQ(made.exit_code, 0) << made.err;
    ClientProcess maud(folder_.path() + "/maud");
    maud.Do({"join", FirstInvitation(made.out)});
    maud.Do("vessel new C1 --capacity 23L");
    maud.Do("sync");
    // strace hands the signal on to nobody: the server is its child.
    const std::string pid =
        Words(absl::StrReplaceAll(RunProgram({"/usr/bin/env", "pgrep", "-f",
                                              absl::StrCat(Program(), " serve .*", data)})
                                      .out,
                                  {{"\n", " "}}))
            .back();
    ASSERT_EQ(kill(std::stoi(pid), SIGTERM), 0);
    while (server.Alive()) {
      ASSERT_LT(std::chrono::steady_clock::now(), deadline);
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
  }

  std::set<std::string> done, refused, odd_families, made_to_run;
  std::ifstream trace(folder_.path() + "/trace");
  const std::regex call("^[0-9]+ +([a-z0-9_]+)\\(");
  const std::regex socket("socket\\((AF_[A-Z0-9]+)");
  bool begun = false;
  for (std::string line; std::getline(trace, line);) {
    // Not the steps before the program is there.
    begun = begun || absl::StrContains(line, absl::StrCat("execve(\"", Program()));
    std::smatch found;
    if (!begun || !std::regex_search(line, found, call)) continue;
    done.insert(found[1]);
    if (!allowed.contains(found[1])) refused.insert(found[1]);
    if (std::regex_search(line, found, socket) && !absl::StrContains(families, found[1].str()))
      odd_families.insert(found[1]);
    // MemoryDenyWriteExecute: memory is not both written and run, and does not become to be run.
    if (absl::StrContains(line, "PROT_WRITE|PROT_EXEC") ||
        (absl::StrContains(line, " mprotect(") && absl::StrContains(line, "PROT_EXEC")))
      made_to_run.insert(line);
  }
  EXPECT_GT(done.size(), 60u) << "a server and a database do many things";
  EXPECT_TRUE(done.contains("bind") && done.contains("fsync") && done.contains("clone"))
      << "the trace is of them";
  EXPECT_THAT(refused, IsEmpty());
  EXPECT_THAT(odd_families, IsEmpty());
  EXPECT_THAT(made_to_run, IsEmpty());
}

}  // namespace
}  // namespace rundlet::testing

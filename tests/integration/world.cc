#include "tests/integration/world.h"

#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "gtest/gtest.h"

namespace rundlet::testing {
namespace {

// The first start makes a database, which on a busy machine takes its time.
constexpr auto kStartPatience = std::chrono::minutes(3);

}  // namespace

std::string Program(const std::string& name) {
  return (std::filesystem::read_symlink("/proc/self/exe").parent_path() / name).string();
}

std::string FirstInvitation(const std::string& text) {
  const size_t begin = text.find("rdi1.");
  if (begin == std::string::npos) return "";
  return text.substr(begin, text.find_first_of(" \n\"", begin) - begin);
}

std::vector<std::string> Words(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool quoted = false;
  bool begun = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
      begun = true;
    } else if (c == ' ' && !quoted) {
      if (begun) words.push_back(word);
      word.clear();
      begun = false;
    } else {
      word += c;
      begun = true;
    }
  }
  if (begun) words.push_back(word);
  return words;
}

TempDir::TempDir() {
  std::string pattern = (std::filesystem::temp_directory_path() / "rundlet-test-XXXXXX").string();
  path_ = mkdtemp(pattern.data());
  // The private cluster runs as an unprivileged user, who must be able to come this far.
  std::filesystem::permissions(path_, std::filesystem::perms(0755));
}

TempDir::~TempDir() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

ServerProcess::ServerProcess(const std::string& folder, ServerOptions options)
    : folder_(folder), options_(std::move(options)) {
  std::filesystem::create_directories(folder_);
}

void ServerProcess::Start() {
  const std::string port_file = folder_ + "/port";
  std::filesystem::remove(port_file);
  // A restart keeps the port, so that the clients find it again.
  const std::string listen = address_.empty() ? options_.host + ":0" : address_;
  std::vector<std::string> words = options_.before;
  words.insert(words.end(), {Program("rundletd"), "serve", "--listen", listen, "--data", data(),
                             "--port-file", port_file});
  words.insert(words.end(), options_.more.begin(), options_.more.end());
  process_ = std::make_unique<Background>(words, options_.environment, log());
  const auto deadline = std::chrono::steady_clock::now() + kStartPatience;
  while (!std::filesystem::exists(port_file)) {
    ASSERT_TRUE(process_->Alive()) << "rundletd ended: see its log:\n"
                                   << std::ifstream(log()).rdbuf();
    ASSERT_LT(std::chrono::steady_clock::now(), deadline) << "rundletd does not serve";
    std::this_thread::sleep_for(
        std::chrono::milliseconds(10));  // between looks, not instead of them
  }
  std::string port;
  std::ifstream(port_file) >> port;
  address_ = options_.host + ":" + port;
}

pid_t ServerProcess::postmaster_pid() const {
  pid_t pid = 0;
  std::ifstream(data() + "/postgres/postmaster.pid") >> pid;
  return pid;
}

int ServerProcess::Stop() { return process_->Stop(SIGTERM); }
void ServerProcess::Kill() { process_->Stop(SIGKILL); }

Finished ServerProcess::Admin(std::vector<std::string> words) const {
  words.insert(words.begin(), Program("rundletd"));
  words.insert(words.end(), {"--data", data()});
  return RunProgram(words);
}

std::string ServerProcess::NewCellar(const std::string& name, const std::string& master) {
  return MakeInvitation({"cellar", "new", name, "--master", master});
}

std::string ServerProcess::Invite(const std::string& cellar, const std::string& member,
                                  const std::string& role) {
  return MakeInvitation({"invite", "--cellar", cellar, "--member", member, "--role", role});
}

Finished ServerProcess::Sql(const std::string& text) const {
  return RunProgram({"/usr/bin/env", "psql", "-X", "-q", "-At", "-v", "ON_ERROR_STOP=1", "-h",
                     data() + "/socket", "-U", "rundlet", "-d", "rundlet", "-c", text});
}

std::string ServerProcess::MakeInvitation(std::vector<std::string> words) const {
  words.insert(words.end(), {"--address", address_});
  const Finished made = Admin(words);
  EXPECT_EQ(made.exit_code, 0) << made.err;
  return FirstInvitation(made.out);
}

Finished ClientProcess::TryProgram(const std::string& name,
                                   const std::vector<std::string>& words) const {
  std::vector<std::string> all = before_;
  all.push_back(Program(name));
  all.insert(all.end(), words.begin(), words.end());
  Environment environment = {{"RUNDLET_HOME", home_}, {"RUNDLET_AUTOSYNC", "off"}, {"TZ", "UTC"}};
  if (!now_.empty()) environment["RUNDLET_NOW"] = now_;
  return RunProgram(all, environment);
}

Finished ClientProcess::Try(const std::vector<std::string>& words) const {
  return TryProgram("rundlet", words);
}

Finished ClientProcess::TrySync(const std::vector<std::string>& words) const {
  return TryProgram("rundlet-sync", words);
}

std::string ClientProcess::Do(const std::vector<std::string>& words) const {
  const Finished done = Try(words);
  std::string line;
  for (const std::string& word : words) line += " " + word;
  EXPECT_EQ(done.exit_code, 0) << "rundlet" << line << "\n" << done.out << done.err;
  return done.out;
}

std::string ClientProcess::Do(const std::string& line) const { return Do(Words(line)); }
Finished ClientProcess::Try(const std::string& line) const { return Try(Words(line)); }

std::string ClientProcess::Digest() const { return Do("digest"); }

}  // namespace rundlet::testing

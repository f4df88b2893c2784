#include "tests/faults/system_calls.h"

#include <fstream>

#include "absl/strings/str_cat.h"

namespace rundlet::testing {
namespace {

// A question mark goes before what not every kind of machine has.
constexpr char kCalls[] =
    "write,pwrite64,writev,pwritev,fsync,fdatasync,ftruncate,fallocate,?rename,?renameat,"
    "?renameat2,?link,?linkat,?unlink,?unlinkat,?mkdir,?mkdirat";

// strace takes whole paths only.
std::vector<std::string> OnFilesOf(const std::string& home) {
  std::vector<std::string> words = {"-P", home};
  for (const char* file :
       {"alarms", "alarms.new", "cellar.db", "cellar.db-shm", "cellar.db-wal", "checkpoint",
        "checkpoint.new", "snapshot", "snapshot.new", "sync-failed", "sync-failed.new"})
    words.insert(words.end(), {"-P", absl::StrCat(home, "/", file)});
  return words;
}

std::vector<std::string> Injecting(const std::string& call, const std::string& what) {
  return {"/usr/bin/env", "strace",
          "-o",           "/dev/null",
          "-e",           absl::StrCat("trace=", call),
          "-e",           absl::StrCat("inject=", call, ":", what)};
}

}  // namespace

std::vector<std::string> Watching(const std::string& path, const std::string& home) {
  std::vector<std::string> words = {"/usr/bin/env", "strace", "-o", path};
  const std::vector<std::string> on = home.empty() ? std::vector<std::string>() : OnFilesOf(home);
  words.insert(words.end(), on.begin(), on.end());
  words.insert(words.end(), {"-e", absl::StrCat("trace=", kCalls)});
  return words;
}

std::map<std::string, int> CountCalls(const std::string& path) {
  std::map<std::string, int> counts;
  std::ifstream file(path);
  for (std::string line; std::getline(file, line);) {
    const size_t name_end = line.find('(');
    if (name_end != std::string::npos && line[0] >= 'a' && line[0] <= 'z')
      ++counts[line.substr(0, name_end)];
  }
  return counts;
}

std::vector<std::string> KilledAt(const std::string& call, int at) {
  return Injecting(call, absl::StrCat("signal=KILL:when=", at));
}

std::vector<std::string> FailingAt(const std::string& home, const std::string& call, int at,
                                   const std::string& error, bool and_after) {
  std::vector<std::string> words =
      Injecting(call, absl::StrCat("error=", error, ":when=", at, and_after ? "+" : ""));
  const std::vector<std::string> on = OnFilesOf(home);
  words.insert(words.end(), on.begin(), on.end());
  return words;
}

std::vector<std::string> WithFilesUpTo(int64_t bytes) {
  return {"/usr/bin/env", "prlimit", absl::StrCat("--fsize=", bytes)};
}

}  // namespace rundlet::testing

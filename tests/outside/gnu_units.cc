#include "tests/outside/gnu_units.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <memory>

#include "absl/strings/str_cat.h"

namespace rundlet {
namespace {

constexpr char kProgram[] = "/usr/bin/units";

// A file with those definitions, gone at the end. Its own file of definitions is read before.
class DefinitionsFile {
 public:
  explicit DefinitionsFile(const std::string& definitions) {
    if (definitions.empty()) return;
    path_ = ::testing::TempDir() + "rundlet-units-XXXXXX";
    const int fd = mkstemp(path_.data());
    EXPECT_GE(fd, 0);
    const std::string text = definitions + "\n";
    EXPECT_EQ(write(fd, text.data(), text.size()), static_cast<ssize_t>(text.size()));
    close(fd);
  }
  ~DefinitionsFile() {
    if (!path_.empty()) unlink(path_.c_str());
  }
  DefinitionsFile(const DefinitionsFile&) = delete;
  DefinitionsFile& operator=(const DefinitionsFile&) = delete;
  std::string Options() const { return path_.empty() ? "" : absl::StrCat("-f '' -f ", path_); }

 private:
  std::string path_;
};

}  // namespace

double AskUnits(const std::string& have, const std::string& want, const std::string& definitions) {
  if (access(kProgram, X_OK) != 0) {
    ADD_FAILURE() << kProgram << " is missing: install the package units";
    return std::nan("");
  }
  const DefinitionsFile file(definitions);
  const std::string command = absl::StrCat(kProgram, " --terse --digits max ", file.Options(), " '",
                                           have, "' '", want, "' 2>/dev/null");
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
  char line[128] = {};
  if (pipe != nullptr && std::fgets(line, sizeof line, pipe.get()) != nullptr) {
    char* end = line;
    const double value = std::strtod(line, &end);
    if (end != line && *end == '\n') return value;
  }
  ADD_FAILURE() << "no number came of: " << command << "\n" << line;
  return std::nan("");
}

}  // namespace rundlet

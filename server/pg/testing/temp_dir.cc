#include "server/pg/testing/temp_dir.h"

#include <sys/stat.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <system_error>

namespace rundlet::server {

TempDir::TempDir() {
  const char* const parent = std::getenv("TMPDIR");
  path_ = std::string(parent != nullptr ? parent : "/tmp") + "/rundlet-test-XXXXXX";
  if (::mkdtemp(path_.data()) == nullptr || ::chmod(path_.c_str(), 0711) != 0) {
    std::perror(path_.c_str());
    std::abort();
  }
}

TempDir::~TempDir() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

}  // namespace rundlet::server

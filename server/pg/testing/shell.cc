#include "server/pg/testing/shell.h"

#include <array>
#include <cstdio>
#include <memory>

namespace rundlet::server {

std::string Shell(const std::string& command) {
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(
      popen(("{ " + command + "; } 2>&1").c_str(), "r"), pclose);
  std::string text;
  std::array<char, 4096> buffer;
  for (size_t n; (n = fread(buffer.data(), 1, buffer.size(), pipe.get())) > 0;)
    text.append(buffer.data(), n);
  return text;
}

}  // namespace rundlet::server

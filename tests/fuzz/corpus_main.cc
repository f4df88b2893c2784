// Gives a target each file of a folder, in order of their names: what a fuzzer once found stays
// found. Usage: NAME_corpus FOLDER
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "google/protobuf/stubs/logging.h"
#include "tests/fuzz/target.h"

namespace {

int Run(const char* folder) {
  google::protobuf::SetLogHandler(nullptr);
  std::vector<std::filesystem::path> files;
  for (const auto& file : std::filesystem::directory_iterator(folder)) files.push_back(file.path());
  std::sort(files.begin(), files.end());
  int broken = 0;
  for (const std::filesystem::path& path : files) {
    std::ifstream file(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    const absl::Status status = rundlet::testing::TryInput(bytes);
    if (status.ok()) continue;
    ++broken;
    std::printf("%s: %s\n", path.c_str(), status.ToString().c_str());
  }
  std::printf("%zu files, %d broken\n", files.size(), broken);
  return files.empty() || broken > 0 ? 1 : 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("usage: NAME_corpus FOLDER\n", stderr);
    return 2;
  }
  return Run(argv[1]);
}

// Writes the corpus anew: short journals of every kind of entry, as the fuzzer and mutation_test
// read them. Usage: write_corpus DIRECTORY
#include <cstdio>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "tests/fuzz/fold_input.h"
#include "tests/support/generator.h"

namespace rundlet::testing {
namespace {

bool Write(const std::string& path, const std::vector<WrittenEntry>& journal) {
  std::vector<std::string> entries;
  for (const WrittenEntry& written : journal) entries.push_back(written.bytes);
  const std::string bytes = JoinEntries(entries);
  std::ofstream file(path, std::ios::binary);
  file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return file.good();
}

bool WriteAll(const std::string& directory) {
  bool fine = true;
  for (uint64_t seed = 1; seed <= 6; ++seed) {
    GeneratorOptions options = GeneratorOptions::Of(Profile::kHostile, seed);
    options.newer_kinds = 10;
    options.devices = 2;
    fine = Write(absl::StrCat(directory, "/hostile-", seed), Generate(options, 70)) && fine;
  }
  for (uint64_t seed = 1; seed <= 3; ++seed) {
    GeneratorOptions options = GeneratorOptions::Of(Profile::kRealistic, seed);
    options.vessels = 4;
    options.bins = 2;
    options.materials = 2;
    options.weights.bottle = 60;
    fine = Write(absl::StrCat(directory, "/realistic-", seed), Generate(options, 60)) && fine;
  }
  return fine;
}

}  // namespace
}  // namespace rundlet::testing

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("usage: write_corpus DIRECTORY\n", stderr);
    return 2;
  }
  return rundlet::testing::WriteAll(argv[1]) ? 0 : 1;
}

// fault_suite: plays the faults of docs/reliability.md. scripts/faults builds and runs it; CTest
// runs it case by case.
#include <CLI/CLI.hpp>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"
#include "gtest/gtest.h"
#include "tests/faults/case.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

std::string FilterOf(const std::vector<int>& cases) {
  return absl::StrJoin(cases, ":", [](std::string* out, int number) {
    absl::StrAppend(out, absl::StrFormat("*.Case%02d_*", number));
  });
}

int Main(int argc, char** argv) {
  ::testing::InitGoogleTest(&argc, argv);
  std::signal(SIGPIPE, SIG_IGN);
  FaultOptions& options = TheFaultOptions();
  options.seed = FirstSeed();
  std::vector<int> cases;
  std::string json;
  CLI::App app("Plays the faults that Rundlet must survive, and audits what is left.",
               "fault_suite");
  app.add_flag("--long", options.is_long, "Every place and many times, in place of a sample");
  app.add_option("--case", cases, "Only these cases, by number")->delimiter(',');
  app.add_option("--seed", options.seed, "What random choices follow from [RUNDLET_SEED]");
  app.add_option("--json", json, "File that gets the table as JSON");
  CLI11_PARSE(app, argc, argv);
  if (!cases.empty()) ::testing::GTEST_FLAG(filter) = FilterOf(cases);
  int result = RUN_ALL_TESTS();
  if (TheReport().empty()) return result;
  std::cout << TheReport().ToTable() << "seed " << options.seed << std::endl;
  if (!json.empty()) {
    std::ofstream file(json, std::ios::trunc);
    file << TheReport().ToJson(options.seed, options.is_long) << "\n";
    file.close();
    if (!file) {
      std::cerr << "error: cannot write " << json << "\n";
      result = 1;
    }
  }
  return result;
}

}  // namespace
}  // namespace rundlet::testing

int main(int argc, char** argv) { return rundlet::testing::Main(argc, argv); }

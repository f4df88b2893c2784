// Goal: the commands that the pages show work as they stand.
// Method: every line that begins with "rundlet " in a code block of the page is run, in order, by
// the real client on a real server. Lines that name what only the reader has (an invitation, an
// ENTRY) are left out. Files that the page shows are there.
#include <filesystem>
#include <fstream>
#include <sstream>

#include "absl/strings/match.h"
#include "absl/strings/string_view.h"
#include "absl/time/civil_time.h"
#include "absl/time/time.h"
#include "gtest/gtest.h"
#include "tests/integration/world.h"

namespace rundlet::testing {
namespace {

std::vector<std::string> CommandsOf(const std::string& page) {
  std::vector<std::string> commands;
  std::ifstream file(std::string(RUNDLET_SOURCE_DIR) + "/" + page);
  bool in_block = false;
  for (std::string line; std::getline(file, line);) {
    if (absl::StartsWith(line, "```")) in_block = !in_block;
    const bool of_the_reader = absl::StrContains(line, "rdi1.") || absl::StrContains(line, "ENTRY");
    if (in_block && absl::StartsWith(line, "rundlet ") && !of_the_reader) {
      commands.push_back(line.substr(line.find(' ') + 1));
    }
  }
  return commands;
}

// Writes the files that the page shows: code blocks whose first line is "# NAME.txt" or the like.
void WriteFilesOf(const std::string& page, const std::string& folder) {
  std::ifstream file(std::string(RUNDLET_SOURCE_DIR) + "/" + page);
  bool in_block = false, first = false;
  std::ofstream out;
  for (std::string line; std::getline(file, line);) {
    if (absl::StartsWith(line, "```")) {
      in_block = !in_block;
      first = in_block;
      out.close();
      continue;
    }
    const bool names_a_file = first && absl::StartsWith(line, "# ") &&
                              line.find(' ', 2) == std::string::npos &&
                              line.find('.') != std::string::npos;
    if (names_a_file) out.open(folder + "/" + line.substr(2));
    first = false;
    if (out.is_open()) out << line << "\n";
  }
}

class PagesTest : public ::testing::TestWithParam<const char*> {};

TEST_P(PagesTest, CommandsWorkAsTheyStand) {
  TempDir folder;
  ServerProcess server(folder.path() + "/server");
  ASSERT_NO_FATAL_FAILURE(server.Start());
  ClientProcess client(folder.path() + "/client");
  const std::string invitation = server.NewCellar("Thistledown Wine Circle", "Maud Ferrier");
  client.SetClock("2025-11-01T08:00:00Z");
  client.Do({"join", invitation});

  const std::vector<std::string> commands = CommandsOf(GetParam());
  ASSERT_GT(commands.size(), 5u) << "the page has commands";
  WriteFilesOf(GetParam(), folder.path());
  const std::filesystem::path here = std::filesystem::current_path();
  std::filesystem::current_path(folder.path());
  absl::Time now = absl::FromCivil(absl::CivilHour(2025, 11, 1, 10), absl::UTCTimeZone());
  for (const std::string& command : commands) {
    client.SetClock(absl::FormatTime("%Y-%m-%dT%H:%M:%SZ", now, absl::UTCTimeZone()));
    now += absl::Minutes(5);
    client.Do(command);
  }
  std::filesystem::current_path(here);
  EXPECT_EQ(client.Do("held").find("held:"), std::string::npos)
      << "the page shows work that counts";
}

INSTANTIATE_TEST_SUITE_P(All, PagesTest, ::testing::Values("README.md", "docs/guide.md"));

}  // namespace
}  // namespace rundlet::testing

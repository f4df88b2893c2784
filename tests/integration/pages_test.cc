// Goal: the commands that the pages show work as they stand.
// Method: every line that begins with "rundlet " in a code block of the page is run, in order, by
// the real client on a real server. Lines that name what only the reader has (a token, an ENTRY)
// are left out.
#include <filesystem>
#include <fstream>
#include <sstream>

#include "absl/strings/match.h"
#include "absl/strings/string_view.h"
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
    const bool of_the_reader = absl::StrContains(line, "rdl1.") || absl::StrContains(line, "ENTRY");
    if (in_block && absl::StartsWith(line, "rundlet ") && !of_the_reader) {
      commands.push_back(line.substr(line.find(' ') + 1));
    }
  }
  return commands;
}

class PagesTest : public ::testing::TestWithParam<const char*> {};

TEST_P(PagesTest, CommandsWorkAsTheyStand) {
  TempDir folder;
  ServerProcess server(folder.path() + "/server");
  ASSERT_NO_FATAL_FAILURE(server.Start());
  ClientProcess client(folder.path() + "/client");
  const std::string token = server.NewCellar("Thistledown Wine Circle", "Maud Ferrier");
  client.SetClock("2025-11-01T08:00:00Z");
  client.Do({"join", "--server", server.address(), "--token", token});

  const std::vector<std::string> commands = CommandsOf(GetParam());
  ASSERT_GT(commands.size(), 5u) << "the page has commands";
  int minute = 0;
  for (const std::string& command : commands) {
    char now[32];
    std::snprintf(now, sizeof(now), "2025-11-01T%02d:%02d:00Z", 10 + minute / 6, minute % 6 * 10);
    ++minute;
    client.SetClock(now);
    client.Do(command);
  }
  EXPECT_EQ(client.Do("held").find("held:"), std::string::npos)
      << "the page shows work that counts";
}

INSTANTIATE_TEST_SUITE_P(All, PagesTest, ::testing::Values("README.md", "docs/guide.md"));

}  // namespace
}  // namespace rundlet::testing

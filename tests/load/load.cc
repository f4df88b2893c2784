// The server under load, as clients feel it: throughput, how long calls take, fairness, memory.
// The real rundletd on the real PostgreSQL, over TLS on the loopback; the load comes from this
// process and shares the machine with them.
//
// Usage: rundlet_load PROGRAMS FOLDER [--seconds N] [--json FILE] [SCENARIO...]
#include <CLI/CLI.hpp>
#include <cstdio>
#include <functional>
#include <map>

#include "tests/load/scenarios.h"

namespace rundlet::load {
namespace {

using Scenario = absl::Status (*)(LoadWorld&, const Options&, Report&);

// In the order in which they run.
constexpr std::pair<const char*, Scenario> kScenarios[] = {
    {"online", OnlineEntries}, {"hub", Hub},          {"cellars", ManyCellars},
    {"fairness", Fairness},    {"too-much", TooMuch}, {"first-sync", FirstSync}};

absl::Status Run(const Options& options, const std::vector<std::string>& wanted,
                 const std::string& json) {
  const auto world = LoadWorld::Start(options.programs, options.folder);
  if (!world.ok()) return world.status();
  Report report;
  for (const auto& [name, scenario] : kScenarios) {
    if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), name) == wanted.end()) continue;
    if (absl::Status status = scenario(**world, options, report); !status.ok()) return status;
  }
  return json.empty() ? absl::OkStatus() : report.WriteJson(json);
}

}  // namespace
}  // namespace rundlet::load

int main(int argc, char** argv) {
  rundlet::load::Options options;
  std::vector<std::string> wanted;
  std::string json;
  double seconds = 10;
  CLI::App app("Loads a rundletd of its own and measures how it answers.");
  app.add_option("programs", options.programs, "Folder of the built programs")->required();
  app.add_option("folder", options.folder, "Empty folder to work in")->required();
  app.add_option("scenarios", wanted,
                 "online, hub, cellars, fairness, too-much, first-sync; all if none is named");
  app.add_option("--seconds", seconds, "Of each measurement")->capture_default_str();
  app.add_option("--devices", options.hub_devices, "Of the hub")->capture_default_str();
  app.add_option("--cellars", options.cellars, "With four devices each")->capture_default_str();
  app.add_option("--entries", options.first_sync_entries, "Of the first sync")
      ->capture_default_str();
  app.add_option("--json", json, "File that gets the figures");
  CLI11_PARSE(app, argc, argv);
  options.time = absl::Seconds(seconds);
  const absl::Status status = rundlet::load::Run(options, wanted, json);
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", std::string(status.message()).c_str());
  return 1;
}

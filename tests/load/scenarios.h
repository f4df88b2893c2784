#ifndef RUNDLET_TESTS_LOAD_SCENARIOS_H_
#define RUNDLET_TESTS_LOAD_SCENARIOS_H_

#include <string>

#include "absl/status/status.h"
#include "absl/time/time.h"
#include "tests/load/load_world.h"
#include "tests/load/report.h"

namespace rundlet::load {

struct Options {
  std::string programs;                     // the folder of the built programs
  std::string folder;                       // an empty one to work in
  absl::Duration time = absl::Seconds(10);  // of each measurement
  int hub_devices = 200;
  int cellars = 50;  // with four devices each
  int first_sync_entries = 100'000;
};

// Single entries from one device, which waits for each answer, and from 64 at once: how much better
// than a transaction for each entry it is to write together what arrives together.
absl::Status OnlineEntries(LoadWorld& world, const Options& options, Report& report);

// One cellar with very many devices, and many cellars with few: entries in small pushes, pages,
// boards and traces, as fast as answers come.
absl::Status Hub(LoadWorld& world, const Options& options, Report& report);
absl::Status ManyCellars(LoadWorld& world, const Options& options, Report& report);

// What a small cellar feels of another that hands in full pushes without a pause.
absl::Status Fairness(LoadWorld& world, const Options& options, Report& report);

// Far more than the server takes: it turns away what it has no room for, its memory stays bounded,
// and everything is recorded in the end.
absl::Status TooMuch(LoadWorld& world, const Options& options, Report& report);

// The first sync of a large cellar by the real client, next to `git clone` of the same bytes, one
// commit an entry; what a server needs in memory for it; a sync that is cut off half way and goes
// on.
absl::Status FirstSync(LoadWorld& world, const Options& options, Report& report);

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_SCENARIOS_H_

#include <thread>

#include "absl/strings/str_cat.h"
#include "tests/load/crowd.h"
#include "tests/load/scenarios.h"

namespace rundlet::load {
namespace {

constexpr double kMegabyte = 1'000'000;

absl::Status OneEntry(LoadDevice& device, int /*round*/, CallTimes& times) {
  return device.Push(device.Write(1), times);
}

absl::Status FullPush(LoadDevice& device, int /*round*/, CallTimes& times) {
  return device.Push(device.Write(1000), times);
}

void ReportMixed(const CallTimes& times, double seconds, const std::string& name, Report& report) {
  report.Calls(absl::StrCat(name, ": push"), times.push, seconds);
  report.Calls(absl::StrCat(name, ": pull"), times.pull, seconds);
  report.Calls(absl::StrCat(name, ": board"), times.board, seconds);
  report.Calls(absl::StrCat(name, ": trace"), times.trace, seconds);
}

}  // namespace

absl::Status OnlineEntries(LoadWorld& world, const Options& options, Report& report) {
  report.Heading("Single entries, each device waiting for its answer");
  const auto cellar = world.NewCellar("Thistledown online");
  if (!cellar.ok()) return cellar.status();
  auto devices = NewDevices(world, *cellar, "online", 64);
  if (!devices.ok()) return devices.status();
  std::deque<LoadDevice> alone;
  alone.push_back(std::move(devices->front()));
  devices->pop_front();
  const double seconds = absl::ToDoubleSeconds(options.time);
  const auto one = WorkTogether(alone, options.time, OneEntry);
  if (!one.ok()) return one.status();
  devices->push_back(std::move(alone.front()));
  const auto together = WorkTogether(*devices, options.time, OneEntry);
  if (!together.ok()) return together.status();
  report.Calls("one device", one->push, seconds);
  report.Calls("64 devices", together->push, seconds);
  report.Figure(
      "64 devices over one",
      static_cast<double>(together->push.count()) / static_cast<double>(one->push.count()),
      "times");
  return absl::OkStatus();
}

absl::Status Hub(LoadWorld& world, const Options& options, Report& report) {
  report.Heading(absl::StrCat(options.hub_devices, " devices of one cellar"));
  const auto cellar = world.NewCellar("Thistledown hub");
  if (!cellar.ok()) return cellar.status();
  auto devices = NewDevices(world, *cellar, "hub", options.hub_devices);
  if (!devices.ok()) return devices.status();
  const auto times = WorkTogether(*devices, options.time, MixedWork);
  if (!times.ok()) return times.status();
  ReportMixed(*times, absl::ToDoubleSeconds(options.time), "hub", report);
  const auto memory = world.Memory();
  if (!memory.ok()) return memory.status();
  report.Figure("hub: rundletd in memory", *memory / kMegabyte, "MB");
  return absl::OkStatus();
}

absl::Status ManyCellars(LoadWorld& world, const Options& options, Report& report) {
  constexpr int kDevicesEach = 4;
  report.Heading(absl::StrCat(options.cellars, " cellars with ", kDevicesEach, " devices each"));
  std::deque<LoadDevice> devices;
  for (int i = 0; i < options.cellars; ++i) {
    const auto cellar = world.NewCellar(absl::StrCat("Thistledown branch ", i + 1));
    if (!cellar.ok()) return cellar.status();
    auto its = NewDevices(world, *cellar, absl::StrCat("branch ", i + 1), kDevicesEach);
    if (!its.ok()) return its.status();
    for (LoadDevice& device : *its) devices.push_back(std::move(device));
  }
  const auto times = WorkTogether(devices, options.time, MixedWork);
  if (!times.ok()) return times.status();
  ReportMixed(*times, absl::ToDoubleSeconds(options.time), "many cellars", report);
  return absl::OkStatus();
}

absl::Status Fairness(LoadWorld& world, const Options& options, Report& report) {
  report.Heading("A small cellar beside one that hands in full pushes without a pause");
  const auto small = world.NewCellar("Thistledown small");
  const auto large = world.NewCellar("Thistledown large");
  if (!small.ok() || !large.ok()) return small.ok() ? large.status() : small.status();
  auto quiet = NewDevices(world, *small, "small", 4);
  auto busy = NewDevices(world, *large, "large", 4);
  if (!quiet.ok() || !busy.ok()) return quiet.ok() ? busy.status() : quiet.status();
  const auto undisturbed = WorkTogether(*quiet, options.time, OneEntry);
  if (!undisturbed.ok()) return undisturbed.status();
  absl::StatusOr<CallTimes> crowded;
  std::thread beside([&] { crowded = WorkTogether(*busy, options.time, FullPush); });
  const auto disturbed = WorkTogether(*quiet, options.time, OneEntry);
  beside.join();
  if (!disturbed.ok() || !crowded.ok())
    return disturbed.ok() ? crowded.status() : disturbed.status();
  const double seconds = absl::ToDoubleSeconds(options.time);
  report.Calls("small cellar by itself", undisturbed->push, seconds);
  report.Calls("small cellar beside the large one", disturbed->push, seconds);
  report.Figure("the large one meanwhile",
                1000.0 * static_cast<double>(crowded->push.count()) / seconds, "entries a second");
  report.Figure("99 of 100 within, beside over by itself",
                disturbed->push.Quantile(0.99) / undisturbed->push.Quantile(0.99), "times");
  return absl::OkStatus();
}

absl::Status TooMuch(LoadWorld& world, const Options& options, Report& report) {
  report.Heading("Full pushes from 100 devices of one cellar at once");
  const auto cellar = world.NewCellar("Thistledown flood");
  if (!cellar.ok()) return cellar.status();
  auto devices = NewDevices(world, *cellar, "flood", 100);
  if (!devices.ok()) return devices.status();
  const auto before = world.Memory();
  const auto times = WorkTogether(*devices, options.time, FullPush);
  if (!times.ok()) return times.status();  // also where one entry was not recorded
  const auto peak = world.PeakMemory();
  if (!before.ok() || !peak.ok()) return before.ok() ? peak.status() : before.status();
  // Until the last of them was answered, which is longer than the time of the run.
  report.Figure("flood: pushes of 1,000 recorded", static_cast<double>(times->push.count()), "");
  report.Figure("flood: turned away, and asked again", static_cast<double>(times->turned_away), "");
  report.Figure("flood: longest wait for room and answer", times->push.Quantile(1) / 1000, "s");
  report.Figure("flood: rundletd in memory before", *before / kMegabyte, "MB");
  report.Figure("flood: the most it ever had", *peak / kMegabyte, "MB");
  return absl::OkStatus();
}

}  // namespace rundlet::load

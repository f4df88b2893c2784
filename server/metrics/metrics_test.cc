// Goal: what is counted is what is printed, in the form of OpenMetrics, also while many threads
// count. Method: instruments are written to, and the page is compared with what it should be; that
// other programs read it is tested in metrics_page_test.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <thread>

#include "server/metrics/call_meter.h"
#include "server/metrics/registry.h"
#include "server/metrics/waiting_devices.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;

constexpr std::array<double, 3> kBounds = {0.5, 1, 10};

TEST(HistogramTest, AValueAtABoundLiesBelowIt) {
  Histogram histogram(kBounds);
  for (const double value : {0.1, 0.5, 0.6, 1.0, 10.0, 10.1, 1e9}) histogram.Observe(value);
  EXPECT_EQ(histogram.bucket(0), 2u);
  EXPECT_EQ(histogram.bucket(1), 2u);
  EXPECT_EQ(histogram.bucket(2), 1u);
  EXPECT_EQ(histogram.bucket(3), 2u);
  EXPECT_DOUBLE_EQ(histogram.sum(), 1e9 + 22.3);
}

TEST(RegistryTest, PrintsFamiliesInTheirOrder) {
  Counter red, blue;
  Histogram waits(kBounds);
  Registry registry;
  registry.Counters("rundlet_corks", "Corks, by colour.");
  registry.Add(red, {{"colour", "red"}});
  registry.Add(blue, {{"colour", "a \"new\"\\\nblue"}});
  registry.Histograms("rundlet_wait_seconds", "Waits.");
  registry.Add(waits);
  registry.Gauges("rundlet_depth", "Depth.");
  registry.Add([] { return 2.5; });
  red.Add(3);
  waits.Observe(absl::Milliseconds(700));
  waits.Observe(absl::Seconds(20));
  EXPECT_EQ(registry.Print(), R"(# TYPE rundlet_corks counter
# HELP rundlet_corks Corks, by colour.
rundlet_corks_total{colour="red"} 3.0
rundlet_corks_total{colour="a \"new\"\\\nblue"} 0.0
# TYPE rundlet_wait_seconds histogram
# UNIT rundlet_wait_seconds seconds
# HELP rundlet_wait_seconds Waits.
rundlet_wait_seconds_bucket{le="0.5"} 0
rundlet_wait_seconds_bucket{le="1.0"} 1
rundlet_wait_seconds_bucket{le="10.0"} 1
rundlet_wait_seconds_bucket{le="+Inf"} 2
rundlet_wait_seconds_count 2
rundlet_wait_seconds_sum 20.7
# TYPE rundlet_depth gauge
# HELP rundlet_depth Depth.
rundlet_depth 2.5
# EOF
)");
}

TEST(InstrumentsTest, ManyThreadsLoseNothing) {
  constexpr int kThreads = 4;
  constexpr int kTimes = 20'000;
  Counter counter;
  Histogram histogram(kBounds);
  std::vector<std::thread> threads;
  for (int i = 0; i < kThreads; ++i) {
    threads.emplace_back([&] {
      for (int n = 0; n < kTimes; ++n) {
        counter.Add();
        histogram.Observe(2.0);
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(counter.value(), kThreads * kTimes);
  EXPECT_EQ(histogram.bucket(2), kThreads * kTimes);
  EXPECT_DOUBLE_EQ(histogram.sum(), 2.0 * kThreads * kTimes);
}

TEST(WaitingDevicesTest, KnowsTheOldestAndForgetsWhoHandedAllIn) {
  const auto id = [](char c) { return *Uuid::FromBytes(std::string(16, c)); };
  WaitingDevices devices;
  EXPECT_EQ(devices.Sum().devices, 0);
  devices.Told(id('a'), absl::Hours(3));
  devices.Told(id('b'), absl::Hours(50));
  devices.Told(id('c'), absl::ZeroDuration());
  EXPECT_EQ(devices.Sum().devices, 2);
  EXPECT_EQ(devices.Sum().oldest, absl::Hours(50));
  devices.Told(id('b'), absl::ZeroDuration());
  EXPECT_EQ(devices.Sum().oldest, absl::Hours(3));
  devices.Told(id('a'), absl::Hours(1));
  EXPECT_EQ(devices.Sum().oldest, absl::Hours(1)) << "the last word counts";
}

}  // namespace
}  // namespace rundlet::server

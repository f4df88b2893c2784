// Goal: health follows the database, also when a probe hangs instead of failing.
// Method: probes that the test answers, blocks and lets go; it waits for what is told.
#include "server/service/health_monitor.h"

#include <vector>

#include "gtest/gtest.h"

namespace rundlet::server {
namespace {

class FakeDatabase {
 public:
  bool Probe() {
    absl::MutexLock lock(&mutex_);
    const auto free = [this]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return !hangs_; };
    mutex_.Await(absl::Condition(&free));
    ++asked_;
    return answers_;
  }
  // Whether, sooner or later, so many probes were answered.
  bool WasAsked(int times) {
    absl::MutexLock lock(&mutex_);
    const auto enough = [&]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return asked_ >= times; };
    return mutex_.AwaitWithTimeout(absl::Condition(&enough), absl::Seconds(30));
  }
  void Set(bool answers, bool hangs) {
    absl::MutexLock lock(&mutex_);
    answers_ = answers;
    hangs_ = hangs;
  }
  void Hear(bool healthy) {
    absl::MutexLock lock(&mutex_);
    heard_.push_back(healthy);
  }
  // Whether, sooner or later, this is all that was told.
  bool HasHeard(const std::vector<bool>& all) {
    absl::MutexLock lock(&mutex_);
    const auto same = [&]() ABSL_EXCLUSIVE_LOCKS_REQUIRED(mutex_) { return heard_ == all; };
    return mutex_.AwaitWithTimeout(absl::Condition(&same), absl::Seconds(30));
  }

 private:
  absl::Mutex mutex_;
  bool answers_ ABSL_GUARDED_BY(mutex_) = true;
  bool hangs_ ABSL_GUARDED_BY(mutex_) = false;
  int asked_ ABSL_GUARDED_BY(mutex_) = 0;
  std::vector<bool> heard_ ABSL_GUARDED_BY(mutex_);
};

HealthMonitor::Options OptionsFor(FakeDatabase& database) {
  return {.probe = [&database] { return database.Probe(); },
          .tell = [&database](bool healthy) { database.Hear(healthy); },
          .interval = absl::Milliseconds(5),
          .patience = absl::Milliseconds(50)};
}

TEST(HealthMonitorTest, TellsEveryChangeOnce) {
  FakeDatabase database;
  {
    HealthMonitor monitor(OptionsFor(database));
    EXPECT_TRUE(database.HasHeard({true}));
    database.Set(false, false);
    EXPECT_TRUE(database.HasHeard({true, false}));
    database.Set(true, false);
    EXPECT_TRUE(database.HasHeard({true, false, true}));
  }
  EXPECT_TRUE(database.HasHeard({true, false, true, false}));
}

// A server says that it is ready when it serves, so health must not flicker at the start.
TEST(HealthMonitorTest, SaysNoOnlyAfterAProbeFailed) {
  FakeDatabase database;
  database.Set(true, true);
  HealthMonitor::Options options = OptionsFor(database);
  options.patience = absl::Hours(1);
  {
    HealthMonitor monitor(options);
    database.Set(true, false);
    EXPECT_TRUE(database.WasAsked(5));
  }
  EXPECT_TRUE(database.HasHeard({true, false}));
}

TEST(HealthMonitorTest, AHangingProbeIsNoAnswer) {
  FakeDatabase database;
  HealthMonitor monitor(OptionsFor(database));
  EXPECT_TRUE(database.HasHeard({true}));
  database.Set(true, true);
  EXPECT_TRUE(database.HasHeard({true, false}));
  database.Set(true, false);
  EXPECT_TRUE(database.HasHeard({true, false, true}));
}

}  // namespace
}  // namespace rundlet::server

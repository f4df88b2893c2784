#ifndef RUNDLET_SERVER_TESTING_STEADY_PUSHER_H_
#define RUNDLET_SERVER_TESTING_STEADY_PUSHER_H_

#include <atomic>
#include <functional>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "server/testing/caller.h"
#include "server/testing/cellar_test.h"

namespace rundlet::server {

// A device that goes on writing and handing in, entry by entry, in a thread of its own, as clients
// do: where a push fails it is pushed again, to whichever server there is then, until it is
// answered. So whatever happens to the servers meanwhile, each of its entries must be in the
// journal once in the end.
class SteadyPusher {
 public:
  // `enrolled` is the entry that says its key (CellarTest::GiveKey). `port` says which server to
  // push to; asked before each push, in the thread.
  SteadyPusher(const NewDevice& device, std::unique_ptr<rundlet::testing::TestDevice> writer,
               std::string enrolled, std::function<int()> port);
  ~SteadyPusher() { Finish(); }

  // Lets the push under way be answered, and ends. After it the rest may be asked for.
  void Finish();

  int acknowledged() const { return acknowledged_; }

  const Device& device() const { return device_.device; }
  // All that it wrote, each acknowledged.
  const std::vector<std::string>& entries() const { return entries_; }
  // How many pushes got no answer at first, and how many of those had been recorded all the same.
  int failures() const { return failures_; }
  int recorded_unseen() const { return recorded_unseen_; }
  // What it was told that a client would not take for "try again later".
  const std::vector<std::string>& surprises() const { return surprises_; }

 private:
  void Run();
  void PushUntilAnswered(const std::string& entry);
  // False: no answer, try again.
  bool TryPush(const std::string& entry, bool again);
  std::string WriteNext();

  const NewDevice device_;
  const std::unique_ptr<rundlet::testing::TestDevice> writer_;
  const std::function<int()> port_;
  std::vector<std::string> entries_;
  std::vector<std::string> surprises_;
  int failures_ = 0;
  int recorded_unseen_ = 0;
  int connected_to_ = 0;
  std::unique_ptr<Caller> caller_;
  std::atomic<int> acknowledged_ = 0;
  std::atomic<bool> finishing_ = false;
  std::thread thread_;
};

// Cellars whose devices push steadily.
class SteadyLoadTest : public CellarTest {
 protected:
  // A device that begins to push now. Of the cellar of the fixture.
  SteadyPusher& AddPusher(const std::string& member, std::function<int()> port);
  // The same, of another one.
  SteadyPusher& AddPusherOf(const NewDevice& device, std::function<int()> port);

  // How many entries were acknowledged so far.
  int Acknowledged() const;
  // Lets all end; then each entry must be in its cellar's journal once, byte for byte, nothing
  // else, each journal pass the audit, and each projection be what a fold gives.
  void FinishAndCheck();

  const std::vector<std::unique_ptr<SteadyPusher>>& pushers() const { return pushers_; }

 private:
  std::vector<std::unique_ptr<SteadyPusher>> pushers_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_STEADY_PUSHER_H_

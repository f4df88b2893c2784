#ifndef RUNDLET_CLIENT_CLI_PROGRESS_H_
#define RUNDLET_CLIENT_CLI_PROGRESS_H_

#include <cstdint>
#include <ostream>
#include <string>
#include <utility>

namespace rundlet::client {

// Tells whoever waits how far a long piece of work has come: a line at each tenth of it, and none
// where it is short.
class Progress {
 public:
  // "checked 30 % of 100000 entries": `done` is the word before, `of` the one behind.
  Progress(std::ostream& out, int64_t total, std::string done, std::string of)
      : out_(out), total_(total), done_(std::move(done)), of_(std::move(of)) {}

  void Step() {
    ++steps_;
    if (total_ < kLong || steps_ * kTenths / total_ == told_ || steps_ >= total_) return;
    told_ = steps_ * kTenths / total_;
    out_ << done_ << " " << told_ * kTenths << " % of " << total_ << " " << of_ << std::endl;
  }

 private:
  static constexpr int64_t kLong = 20'000;  // some seconds of work
  static constexpr int64_t kTenths = 10;

  std::ostream& out_;
  const int64_t total_;
  const std::string done_, of_;
  int64_t steps_ = 0;
  int64_t told_ = 0;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_PROGRESS_H_

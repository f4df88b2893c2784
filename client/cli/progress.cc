#include "client/cli/progress.h"

#include <algorithm>
#include <utility>

#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kPatience = absl::Seconds(1);  // shorter work is not spoken of
constexpr absl::Duration kBetween = absl::Milliseconds(200);
constexpr int64_t kStepsBetweenLooks = 64;  // asking the clock for each would cost more than some

}  // namespace

Progress::Progress(const Environment& env, int64_t total, std::string done, std::string of)
    : env_(env),
      total_(total),
      done_(std::move(done)),
      of_(std::move(of)),
      started_(env.clock()),
      look_again_(started_ + kPatience) {}

Progress::~Progress() {
  if (shown_ > 0) *env_.watched << '\r' << std::string(shown_, ' ') << '\r' << std::flush;
}

void Progress::At(int64_t steps) {
  steps_ = steps;
  if (env_.watched == nullptr || steps_ < next_look_) return;
  next_look_ = steps_ + kStepsBetweenLooks;
  const absl::Time now = env_.clock();
  if (now < look_again_) return;
  look_again_ = now + kBetween;
  Show(now);
}

void Progress::Show(absl::Time now) {
  const auto rate = static_cast<int64_t>(static_cast<double>(steps_ - begun_) /
                                         absl::ToDoubleSeconds(now - started_));
  std::string line = absl::StrCat(done_, " ", steps_, " of ", total_, " ", of_);
  if (rate > 0) {
    absl::StrAppend(&line, ", ", rate, " a second, ", std::max<int64_t>(total_ - steps_, 0) / rate,
                    " s left");
  }
  const size_t rest = shown_ > line.size() ? shown_ - line.size() : 0;
  *env_.watched << '\r' << line << std::string(rest, ' ') << std::flush;
  shown_ = line.size();
}

}  // namespace rundlet::client

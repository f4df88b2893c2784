#ifndef RUNDLET_CLIENT_CLI_PROGRESS_H_
#define RUNDLET_CLIENT_CLI_PROGRESS_H_

#include <cstdint>
#include <string>

#include "absl/time/time.h"
#include "client/base/environment.h"

namespace rundlet::client {

// Tells whoever watches how far a long piece of work has come, in one line of the terminal that is
// written over: "checked 34000 of 100000 entries, 12000 a second, 6 s left". Nothing is said where
// nobody watches (Environment::watched), and of work that takes less than a second. The line is
// gone at the end.
class Progress {
 public:
  // `done` is the word before the numbers, `of` the one behind.
  Progress(const Environment& env, int64_t total, std::string done, std::string of);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void Step() { At(steps_ + 1); }
  // So many are done.
  void At(int64_t steps);
  // Where the work began, if something was done before: what the rate counts from.
  void BeginAt(int64_t steps) { begun_ = steps_ = steps; }

 private:
  void Show(absl::Time now);

  const Environment& env_;
  const int64_t total_;
  const std::string done_, of_;
  const absl::Time started_;
  absl::Time look_again_;
  int64_t begun_ = 0;
  int64_t steps_ = 0;
  int64_t next_look_ = 0;  // steps after which the clock is asked again
  size_t shown_ = 0;       // characters of the line
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_PROGRESS_H_

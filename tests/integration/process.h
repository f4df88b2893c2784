#ifndef RUNDLET_TESTS_INTEGRATION_PROCESS_H_
#define RUNDLET_TESTS_INTEGRATION_PROCESS_H_

#include <sys/types.h>

#include <map>
#include <string>
#include <vector>

namespace rundlet::testing {

using Environment = std::map<std::string, std::string>;

struct Finished {
  int exit_code = -1;  // 128 + signal where one ended it
  std::string out;
  std::string err;
};

// Runs a program to its end with no standard input; `environment` goes on top of ours.
Finished RunProgram(const std::vector<std::string>& words, const Environment& environment = {});

// A program that goes on until it is stopped; killed, and waited for, when this goes.
class Background {
 public:
  // Its output goes to `log_path`.
  Background(const std::vector<std::string>& words, const Environment& environment,
             const std::string& log_path);
  ~Background();
  Background(const Background&) = delete;
  Background& operator=(const Background&) = delete;

  // 0 when it was waited for.
  pid_t pid() const { return pid_ > 0 ? pid_ : 0; }
  // Whether it still runs.
  bool Alive();
  // Sends a signal and waits for its end; the exit code as in Finished.
  int Stop(int signal);

 private:
  pid_t pid_ = -1;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_INTEGRATION_PROCESS_H_

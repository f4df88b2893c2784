#ifndef RUNDLET_TESTS_LOAD_REPORT_H_
#define RUNDLET_TESTS_LOAD_REPORT_H_

#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/strings/string_view.h"
#include "tests/load/latencies.h"

namespace rundlet::load {

// The figures of a run: printed as they come, kept as JSON on demand.
class Report {
 public:
  void Heading(absl::string_view text);
  void Figure(absl::string_view name, double value, absl::string_view unit);
  // How many calls of a kind, in how many seconds; their median and 99th percentile.
  void Calls(absl::string_view name, const Latencies& latencies, double seconds);

  // One object, the figures by their names. Unavailable: the file cannot be written.
  absl::Status WriteJson(const std::string& path) const;

 private:
  std::vector<std::string> json_;
};

}  // namespace rundlet::load

#endif  // RUNDLET_TESTS_LOAD_REPORT_H_

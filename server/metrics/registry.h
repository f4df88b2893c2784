#ifndef RUNDLET_SERVER_METRICS_REGISTRY_H_
#define RUNDLET_SERVER_METRICS_REGISTRY_H_

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "absl/strings/string_view.h"
#include "server/metrics/instruments.h"

namespace rundlet::server {

// Names instruments, and prints what they say as OpenMetrics 1.0 text, which Prometheus and its
// like read:
//
//   # TYPE rundlet_pushed_entries counter
//   # HELP rundlet_pushed_entries Entries that devices handed in, by what became of them.
//   rundlet_pushed_entries_total{disposition="recorded"} 12
//   ...
//   # EOF
//
// Fill it, then print it from any thread. What it names must outlive it. Labels come from short
// fixed lists, never from callers: nobody outside can make the page grow, and no name of a person
// or a cellar is on it.
class Registry {
 public:
  using Labels = std::vector<std::pair<std::string, std::string>>;
  struct Sample {
    Labels labels;
    double value = 0;
  };

  // A family, to which the Adds after it belong. `name` is without "_total"; where it ends in
  // "_seconds" or "_bytes", that is its unit. Aborts if the name is not new, or an instrument is of
  // another type.
  void Counters(absl::string_view name, absl::string_view help);
  void Gauges(absl::string_view name, absl::string_view help);
  void Histograms(absl::string_view name, absl::string_view help);

  void Add(const Counter& counter, Labels labels = {});
  void Add(const Histogram& histogram, Labels labels = {});
  // Asked at each printing, in the thread that prints; also for a counter that is kept elsewhere.
  void Add(std::function<double()> value, Labels labels = {});

  std::string Print() const;

  // As HTTP names the format.
  static constexpr char kContentType[] =
      "application/openmetrics-text; version=1.0.0; charset=utf-8";

 private:
  using Printer = std::function<void(const std::string& name, std::string& out)>;
  struct Family {
    std::string name;
    const char* type;
    std::string help;
    std::vector<Printer> samples;
  };
  void Begin(absl::string_view name, const char* type, absl::string_view help);

  std::vector<Family> families_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_METRICS_REGISTRY_H_

#ifndef RUNDLET_TESTS_FAULTS_REPORT_H_
#define RUNDLET_TESTS_FAULTS_REPORT_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/time/time.h"

namespace rundlet::testing {

// What one case did: a line of the table.
struct Tally {
  int number = 0;
  std::string title;
  int64_t runs = 0;          // faults that were made
  int64_t acknowledged = 0;  // entries that the server said it had recorded
  int64_t lost = 0;          // of them, not in the journal at the end
  int64_t doubled = 0;       // of them, more than once in the journal, or told two places
  absl::Duration recovery;   // the longest from the end of a fault until all was well; 0: none
  std::string remark;        // figures of its own; what could not be tried here, and why
  bool passed = false;
};

// The table of a whole run. Not thread-safe.
class Report {
 public:
  void Add(const Tally& tally) { lines_.push_back(tally); }
  bool empty() const { return lines_.empty(); }
  std::string ToTable() const;
  // {"seed":1,"long":false,"cases":[{"case":1,"title":"...","runs":6,...}]}
  std::string ToJson(uint64_t seed, bool is_long) const;

 private:
  std::vector<Tally> lines_;
};
Report& TheReport();

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_REPORT_H_

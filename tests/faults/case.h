#ifndef RUNDLET_TESTS_FAULTS_CASE_H_
#define RUNDLET_TESTS_FAULTS_CASE_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/time/time.h"
#include "gmock/gmock.h"
#include "gtest/gtest.h"
#include "tests/faults/auditor.h"
#include "tests/faults/report.h"
#include "tests/support/random.h"

namespace rundlet::testing {

// How the suite is run; main.cc reads it from the command line.
struct FaultOptions {
  uint64_t seed = 1;
  bool is_long = false;  // every place and many times, in place of a sample
};
FaultOptions& TheFaultOptions();

// One case of docs/reliability.md:
//
//   TEST_F(FaultCase, Case01_ServerKilledUnderLoad) { ... }
//
// The number in its name is the case's, the rest its title. It counts what it did in its tally, one
// line of the table, and ends with the audit that all cases share.
class FaultCase : public ::testing::Test {
 protected:
  FaultCase();
  ~FaultCase() override;

  bool is_long() const { return TheFaultOptions().is_long; }
  int Times(int sample, int all) const { return is_long() ? all : sample; }
  // The places at which to fail, of 1 ... `count`: all, or so many of them, the first and the last
  // among them, in order.
  std::vector<int> Places(int count, int sample);

  Random& random() { return random_; }
  Tally& tally() { return tally_; }

  // A fault was over, and so much later everything was well again: the test fails beyond the bound.
  void Recovered(absl::Duration took, absl::Duration bound);
  // A figure of the case's own, or what cannot be tried here, and why; it stands in the table.
  void Remark(const std::string& what);
  // The audit of I1 to I6.
  void Audit(Fleet& fleet);

 private:
  Random random_;
  Tally tally_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_CASE_H_

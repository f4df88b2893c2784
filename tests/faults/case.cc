#include "tests/faults/case.h"

#include <algorithm>
#include <cctype>
#include <cstdio>
#include <numeric>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"

namespace rundlet::testing {
namespace {

// "Case01_ServerKilledUnderLoad": 1, "server killed under load".
Tally TallyOf(const std::string& test_name) {
  Tally tally;
  if (!absl::SimpleAtoi(test_name.substr(4, 2), &tally.number)) tally.number = 0;
  for (const char c : test_name.substr(std::min<size_t>(7, test_name.size()))) {
    if (std::isupper(c) != 0 && !tally.title.empty()) tally.title += ' ';
    tally.title += static_cast<char>(std::tolower(c));
  }
  return tally;
}

}  // namespace

FaultOptions& TheFaultOptions() {
  static FaultOptions options;
  return options;
}

FaultCase::FaultCase()
    : random_(TheFaultOptions().seed),
      tally_(TallyOf(::testing::UnitTest::GetInstance()->current_test_info()->name())) {
  std::printf("case %d, %s: seed %llu%s\n", tally_.number, tally_.title.c_str(),
              static_cast<unsigned long long>(TheFaultOptions().seed), is_long() ? ", long" : "");
  std::fflush(stdout);
}

FaultCase::~FaultCase() {
  tally_.passed = !HasFailure();
  TheReport().Add(tally_);
}

std::vector<int> FaultCase::Places(int count, int sample) {
  std::vector<int> places(static_cast<size_t>(count));
  std::iota(places.begin(), places.end(), 1);
  if (is_long() || count <= sample) return places;
  std::vector<int> inner(places.begin() + 1, places.end() - 1);
  random_.Shuffle(inner);
  inner.resize(static_cast<size_t>(std::max(0, sample - 2)));
  inner.push_back(1);
  if (sample > 1) inner.push_back(count);
  std::sort(inner.begin(), inner.end());
  return inner;
}

void FaultCase::Recovered(absl::Duration took, absl::Duration bound) {
  EXPECT_LE(took, bound) << "it must be well again within its bound";
  tally_.recovery = std::max(tally_.recovery, took);
}

void FaultCase::Remark(const std::string& what) {
  std::printf("%s\n", what.c_str());
  tally_.remark = what;
}

void FaultCase::Audit(Fleet& fleet) {
  const Verdict verdict = Auditor(fleet).Run();
  for (const std::string& problem : verdict.problems) ADD_FAILURE() << problem;
  tally_.acknowledged += verdict.acknowledged;
  tally_.lost += verdict.lost;
  tally_.doubled += verdict.doubled;
}

}  // namespace rundlet::testing

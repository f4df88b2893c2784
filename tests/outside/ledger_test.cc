// Goal: the books balance, and a program that knows nothing of wine agrees with every balance that
// the fold keeps.
// Method: Ledger, a general-purpose double-entry accounting tool (Debian package "ledger"), reads
// the export of generated cellars; its balances are compared with those of the state, one by one.
// It refuses a transaction that does not balance.
#include <algorithm>
#include <cstdio>
#include <string>
#include <tuple>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/books/ledger_export.h"
#include "gtest/gtest.h"
#include "tests/outside/books_tool.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

bool HaveLedger() {
  int status = 0;
  RunTool("ledger --version", &status);
  return status == 0;
}

// "@account" lines, each with lines of '12 "commodity"' below.
std::vector<LedgerBalance> ReadBalances(const std::string& output) {
  std::vector<LedgerBalance> balances;
  std::string account;
  for (const absl::string_view line : absl::StrSplit(output, '\n', absl::SkipWhitespace())) {
    if (line[0] == '@') {
      account = std::string(line.substr(1));
      continue;
    }
    const std::vector<std::string> pieces =
        absl::StrSplit(absl::StripAsciiWhitespace(line), absl::MaxSplits(' ', 1));
    LedgerBalance& balance = balances.emplace_back();
    balance.account = account;
    EXPECT_TRUE(pieces.size() == 2 && absl::SimpleAtoi(pieces[0], &balance.amount)) << line;
    if (pieces.size() == 2) balance.commodity = std::string(absl::StripAsciiWhitespace(pieces[1]));
    // Ledger quotes what needs it.
    if (balance.commodity.size() > 1 && balance.commodity.front() == '"') {
      balance.commodity = balance.commodity.substr(1, balance.commodity.size() - 2);
    }
  }
  std::sort(balances.begin(), balances.end(), [](const LedgerBalance& a, const LedgerBalance& b) {
    return std::tie(a.account, a.commodity) < std::tie(b.account, b.commodity);
  });
  return balances;
}

void LedgerAgrees(const Fold& fold) {
  TempFile file;
  ASSERT_NO_FATAL_FAILURE(WriteBooks(fold, file.path()));
  int status = 0;
  // --args-only: whatever stands in the user's own settings must not matter.
  const std::string output = RunTool(
      absl::StrCat("ledger --args-only -f '", file.path(),
                   "' balance --flat --no-total --balance-format "
                   "'@%(account)\\n%(scrub(display_total))\\n' '^vessel:' '^bin:' '^stock'"),
      &status);
  ASSERT_EQ(status, 0) << output;
  BalancesAgree(ReadBalances(output), fold);
}

class LedgerTest : public ::testing::Test {
 protected:
  void SetUp() override {
    if (!HaveLedger()) GTEST_SKIP() << "there is no ledger here; scripts/setup installs it";
  }
};

TEST_F(LedgerTest, AgreesOnALargeCellar) {
  Fold fold;
  FillLarge(fold);
  LedgerAgrees(fold);
}

TEST_F(LedgerTest, AgreesOnHostileCellars) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(5); ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Fold fold;
    FillHostile(seed, fold);
    LedgerAgrees(fold);
  }
}

TEST_F(LedgerTest, ReadsEveryName) {
  TestDevice phone("phone");
  Fold fold;
  fold.Insert(phone.RegisterLot("Riesling").entry);
  fold.Insert(phone.RegisterMaterial("Sulfite").entry);
  for (const std::string& name : HardNames()) {
    fold.Insert(phone.RegisterVessel(name).entry);
    fold.Insert(phone.Receive("Riesling", {Fill(name, kLitre)}).entry);
    fold.Insert(phone.RegisterMaterialLot(absl::StrCat("lot ", name), "Sulfite").entry);
    fold.Insert(phone.ReceiveMaterial(absl::StrCat("lot ", name), Mass(7)).entry);
  }
  fold.Settle();
  EXPECT_EQ(LedgerBalances(fold).size(), 58);
  LedgerAgrees(fold);
}

}  // namespace
}  // namespace rundlet::testing

// Goal: the export is plain double entry, and not the dialect of one program: a second tool agrees
// with every balance that the fold keeps.
// Method: hledger (Debian package "hledger") reads the export of generated cellars and prints its
// balances as CSV; they are compared with those of the state, one by one. It refuses a transaction
// that does not balance.
#include <algorithm>
#include <tuple>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "core/reports/csv.h"
#include "tests/outside/books_tool.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

bool IsKept(const std::string& account) {
  return absl::StartsWith(account, "vessel:") || absl::StartsWith(account, "bin:") ||
         account == "stock";
}

// "account","commodity","balance": its CSV, one balance a line.
std::vector<LedgerBalance> ReadBalances(const std::string& output) {
  std::vector<LedgerBalance> balances;
  const auto records = reports::ReadCsv(output);
  EXPECT_TRUE(records.ok()) << records.status() << "\n" << output;
  if (!records.ok()) return balances;
  for (const reports::CsvRecord& record : absl::MakeConstSpan(*records).subspan(1)) {
    EXPECT_EQ(record.fields.size(), 3u) << record.line;
    if (record.fields.size() != 3 || !IsKept(record.fields[0])) continue;
    LedgerBalance balance{.account = record.fields[0], .commodity = record.fields[1], .amount = 0};
    EXPECT_TRUE(absl::SimpleAtoi(record.fields[2], &balance.amount)) << record.fields[2];
    if (balance.amount != 0) balances.push_back(std::move(balance));
  }
  std::sort(balances.begin(), balances.end(), [](const LedgerBalance& a, const LedgerBalance& b) {
    return std::tie(a.account, a.commodity) < std::tie(b.account, b.commodity);
  });
  return balances;
}

void HledgerAgrees(const Fold& fold) {
  TempFile file;
  ASSERT_NO_FATAL_FAILURE(WriteBooks(fold, file.path()));
  int status = 0;
  // UTF-8 whatever the machine is set to; rows of one commodity each.
  const std::string output =
      RunTool(absl::StrCat("LC_ALL=C.UTF-8 hledger -f 'journal:", file.path(),
                           "' balance --flat --no-total --layout=bare --output-format=csv"),
              &status);
  ASSERT_EQ(status, 0) << output.substr(0, 4000);
  BalancesAgree(ReadBalances(output), fold);
}

class HledgerTest : public ::testing::Test {
 protected:
  void SetUp() override {
    int status = 0;
    RunTool("hledger --version", &status);
    if (status != 0) GTEST_SKIP() << "there is no hledger here; scripts/setup installs it";
  }
};

TEST_F(HledgerTest, AgreesOnALargeCellar) {
  Fold fold;
  FillLarge(fold);
  HledgerAgrees(fold);
}

TEST_F(HledgerTest, AgreesOnHostileCellars) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(2); ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Fold fold;
    FillHostile(seed, fold);
    HledgerAgrees(fold);
  }
}

TEST_F(HledgerTest, ReadsEveryName) {
  TestDevice phone("phone");
  Fold fold;
  fold.Insert(phone.RegisterLot("Riesling").entry);
  for (const std::string& name : HardNames()) {
    fold.Insert(phone.RegisterVessel(name).entry);
    fold.Insert(phone.Receive("Riesling", {Fill(name, kLitre)}).entry);
  }
  fold.Settle();
  EXPECT_EQ(LedgerBalances(fold).size(), HardNames().size());
  HledgerAgrees(fold);
}

}  // namespace
}  // namespace rundlet::testing

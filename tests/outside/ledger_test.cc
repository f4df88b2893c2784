// Goal: the books balance, and a program that knows nothing of wine agrees with every balance that
// the fold keeps.
// Method: Ledger, a general-purpose double-entry accounting tool (Debian package "ledger"), reads
// the export of generated cellars; its balances are compared with those of the state, one by one.
// It refuses a transaction that does not balance.
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <tuple>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/books/ledger_export.h"
#include "gtest/gtest.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/generator.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

// A file that goes when the test ends.
class TempFile {
 public:
  TempFile() {
    const int descriptor = mkstemp(path_.data());
    EXPECT_GE(descriptor, 0);
    if (descriptor >= 0) close(descriptor);
  }
  ~TempFile() { std::remove(path_.c_str()); }
  TempFile(const TempFile&) = delete;
  TempFile& operator=(const TempFile&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::string path_ = ::testing::TempDir() + "rundlet-books-XXXXXX";
};

// What a command prints on both outputs; its exit status.
std::string Run(const std::string& command, int* status) {
  std::string output;
  FILE* pipe = popen(absl::StrCat(command, " 2>&1").c_str(), "r");
  if (pipe == nullptr) return "cannot be run";
  char buffer[1 << 16];
  while (const size_t size = std::fread(buffer, 1, sizeof buffer, pipe))
    output.append(buffer, size);
  *status = pclose(pipe);
  return output;
}

bool HaveLedger() {
  int status = 0;
  Run("ledger --version", &status);
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
  {
    std::ofstream out(file.path(), std::ios::binary);
    WriteLedger(fold, [&](absl::string_view piece) { out.write(piece.data(), piece.size()); });
    ASSERT_TRUE(out.good());
  }
  int status = 0;
  // --args-only: whatever stands in the user's own settings must not matter.
  const std::string output =
      Run(absl::StrCat("ledger --args-only -f '", file.path(),
                       "' balance --flat --no-total --balance-format "
                       "'@%(account)\\n%(scrub(display_total))\\n' '^vessel:' '^bin:' '^stock'"),
          &status);
  ASSERT_EQ(status, 0) << output;
  const std::vector<LedgerBalance> theirs = ReadBalances(output);
  const std::vector<LedgerBalance> ours = LedgerBalances(fold);
  ASSERT_EQ(theirs.size(), ours.size()) << output;
  for (size_t i = 0; i < ours.size(); ++i) {
    EXPECT_EQ(theirs[i].account, ours[i].account);
    EXPECT_EQ(theirs[i].commodity, ours[i].commodity) << ours[i].account;
    EXPECT_EQ(theirs[i].amount, ours[i].amount) << ours[i].account << " " << ours[i].commodity;
  }
  std::printf("%zu movements, %zu balances agree\n", fold.state().movements().size(), ours.size());
}

class LedgerTest : public ::testing::Test {
 protected:
  void SetUp() override {
    if (!HaveLedger()) GTEST_SKIP() << "there is no ledger here; scripts/setup installs it";
  }
};

TEST_F(LedgerTest, AgreesOnALargeCellar) {
  GeneratorOptions options = GeneratorOptions::Of(Profile::kRealistic, FirstSeed());
  options.vessels = 60;
  options.bins = 12;
  options.materials = 20;
  Fold fold;
  for (const WrittenEntry& written : Generate(options, 20'000)) fold.Insert(written.entry);
  fold.Settle();
  LedgerAgrees(fold);
}

TEST_F(LedgerTest, AgreesOnHostileCellars) {
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + Runs(5); ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Fold fold;
    for (const WrittenEntry& written :
         Generate(GeneratorOptions::Of(Profile::kHostile, seed), 3'000)) {
      fold.Insert(written.entry);
    }
    fold.Settle();
    LedgerAgrees(fold);
  }
}

TEST_F(LedgerTest, ReadsEveryName) {
  TestDevice phone("phone");
  Fold fold;
  fold.Insert(phone.RegisterLot("Riesling").entry);
  fold.Insert(phone.RegisterMaterial("Sulfite").entry);
  for (const char* name : {"C1",
                           "two  spaces",
                           "semi ; colon",
                           "a  ; comment",
                           "(virtual)",
                           "[balanced]",
                           "a:b",
                           "= rule",
                           "~ monthly",
                           "a \"quoted\" one",
                           "it's",
                           "* cleared",
                           "! pending",
                           "100",
                           "$5",
                           "@ 3",
                           "{4}",
                           "Gärballon N° 3",
                           "酒",
                           " leading",
                           "trailing ",
                           "tab\\t",
                           "%",
                           "#",
                           "|",
                           "&",
                           "\\",
                           "-",
                           "."}) {
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

#include "tests/outside/books_tool.h"

#include <unistd.h>

#include <cstdlib>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "tests/support/generator.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {

TempFile::TempFile() {
  const int descriptor = mkstemp(path_.data());
  EXPECT_GE(descriptor, 0);
  if (descriptor >= 0) close(descriptor);
}

std::string RunTool(const std::string& command, int* status) {
  std::string output;
  FILE* pipe = popen(absl::StrCat(command, " 2>&1").c_str(), "r");
  if (pipe == nullptr) return "cannot be run";
  char buffer[1 << 16];
  while (const size_t size = std::fread(buffer, 1, sizeof buffer, pipe))
    output.append(buffer, size);
  *status = pclose(pipe);
  return output;
}

void WriteBooks(const Fold& fold, const std::string& path) {
  std::ofstream out(path, std::ios::binary);
  WriteLedger(fold, [&](absl::string_view piece) { out.write(piece.data(), piece.size()); });
  out.flush();
  ASSERT_TRUE(out.good());
}

void BalancesAgree(const std::vector<LedgerBalance>& theirs, const Fold& fold) {
  const std::vector<LedgerBalance> ours = LedgerBalances(fold);
  ASSERT_EQ(theirs.size(), ours.size());
  for (size_t i = 0; i < ours.size(); ++i) {
    EXPECT_EQ(theirs[i].account, ours[i].account);
    EXPECT_EQ(theirs[i].commodity, ours[i].commodity) << ours[i].account;
    EXPECT_EQ(theirs[i].amount, ours[i].amount) << ours[i].account << " " << ours[i].commodity;
  }
  std::printf("%zu movements, %zu balances agree\n", fold.state().movements().size(), ours.size());
}

void FillLarge(Fold& fold) {
  GeneratorOptions options = GeneratorOptions::Of(Profile::kRealistic, FirstSeed());
  options.vessels = 60;
  options.bins = 12;
  options.materials = 20;
  for (const WrittenEntry& written : Generate(options, 20'000)) fold.Insert(written.entry);
  fold.Settle();
}

void FillHostile(uint64_t seed, Fold& fold) {
  const GeneratorOptions options = GeneratorOptions::Of(Profile::kHostile, seed);
  for (const WrittenEntry& written : Generate(options, 3'000)) fold.Insert(written.entry);
  fold.Settle();
}

std::vector<std::string> HardNames() {
  return {"C1",
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
          "."};
}

}  // namespace rundlet::testing

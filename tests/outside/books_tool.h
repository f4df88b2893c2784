#ifndef RUNDLET_TESTS_OUTSIDE_BOOKS_TOOL_H_
#define RUNDLET_TESTS_OUTSIDE_BOOKS_TOOL_H_

#include <cstdint>
#include <cstdio>
#include <string>
#include <vector>

#include "core/books/ledger_export.h"
#include "gtest/gtest.h"

// What the tests with accounting tools have in common.
namespace rundlet::testing {

// A file that goes when the test ends.
class TempFile {
 public:
  TempFile();
  ~TempFile() { std::remove(path_.c_str()); }
  TempFile(const TempFile&) = delete;
  TempFile& operator=(const TempFile&) = delete;

  const std::string& path() const { return path_; }

 private:
  std::string path_ = ::testing::TempDir() + "rundlet-books-XXXXXX";
};

// What a command prints on both outputs; its exit status.
std::string RunTool(const std::string& command, int* status);

// Writes the export of a fold into a file. Fails the test if that cannot be done.
void WriteBooks(const Fold& fold, const std::string& path);

// Whether a tool reported the balances that the fold keeps, one by one.
void BalancesAgree(const std::vector<LedgerBalance>& theirs, const Fold& fold);

// Cellars to export: a large one as people keep it, and a small one of entries that no one would
// write.
void FillLarge(Fold& fold);
void FillHostile(uint64_t seed, Fold& fold);

// Names that mean something to such tools where they stand bare.
std::vector<std::string> HardNames();

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_OUTSIDE_BOOKS_TOOL_H_

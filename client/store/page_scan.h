#ifndef RUNDLET_CLIENT_STORE_PAGE_SCAN_H_
#define RUNDLET_CLIENT_STORE_PAGE_SCAN_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"

namespace rundlet::client {

// One column of a row as SQLite stores it. Text and blobs are `bytes`.
struct ScannedColumn {
  enum class Type { kNull, kInteger, kReal, kBlob, kText };
  Type type = Type::kNull;
  int64_t integer = 0;
  std::string bytes;
};

// Finds rows in the pages of an SQLite file without SQLite: every page that looks like a leaf of a
// table gives the rows that can be read from it, in whatever table they were. What the pages say is
// believed as far as it is possible at all; the caller checks the rows. `wal` is the write-ahead
// log; of it the pages up to its last commit stand in for those of the file.
//
// The formats: https://www.sqlite.org/fileformat2.html, sections 1.3 to 1.6, 2.1 and 4.1.
void ScanRows(
    absl::string_view file, absl::string_view wal,
    absl::FunctionRef<void(int64_t rowid, absl::Span<const ScannedColumn> columns)> visit);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_PAGE_SCAN_H_

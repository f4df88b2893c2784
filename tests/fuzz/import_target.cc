// An old log with its mapping, and the archive of a cellar. The first byte says which; of a log the
// mapping stands first, then a line "===", then the table.
#include <sys/mman.h>
#include <unistd.h>

#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/commands/archive.h"
#include "client/commands/import_mapping.h"
#include "core/entry/entry.h"
#include "core/reports/csv.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {
namespace {

using reports::CsvRecord;

absl::Status TryCsv(const std::vector<CsvRecord>& records, absl::string_view text) {
  std::string printed;
  for (const CsvRecord& record : records)
    absl::StrAppend(&printed, reports::CsvLine(record.fields));
  const auto again = reports::ReadCsv(printed);
  bool same = again.ok() && again->size() == records.size();
  for (size_t i = 0; same && i < records.size(); ++i)
    same = (*again)[i].fields == records[i].fields;
  return Promise(same, "a table survives being printed", absl::StrCat(text, " -> ", printed));
}

absl::Status TryLog(absl::string_view input) {
  constexpr absl::string_view kBetween = "\n===\n";
  const size_t at = input.find(kBetween);
  if (at == absl::string_view::npos) return absl::OkStatus();
  auto mapping = client::LogMapping::Read(input.substr(0, at));
  const absl::string_view table = input.substr(at + kBetween.size());
  const auto records = reports::ReadCsv(table, mapping.ok() ? mapping->separator() : ',');
  if (!records.ok()) return absl::OkStatus();
  if (absl::Status s = TryCsv(*records, table); !s.ok()) return s;
  if (!mapping.ok() || records->empty() || !mapping->Bind(records->front().fields).ok())
    return absl::OkStatus();
  for (size_t i = 1; i < records->size(); ++i) mapping->Apply((*records)[i].fields).IgnoreError();
  return absl::OkStatus();
}

absl::Status TryArchive(absl::string_view bytes) {
  const int fd = memfd_create("archive", MFD_CLOEXEC);
  if (fd < 0) return absl::OkStatus();
  const bool written = write(fd, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size());
  int64_t taken = 0;
  absl::Status promise;
  if (written) {
    const auto head =
        client::ReadArchive(absl::StrCat("/proc/self/fd/", fd), [&](const std::string& entry) {
          ++taken;
          const absl::Status parsed = ParseEntry(entry).status();
          promise.Update(Promise(parsed.ok() || absl::IsUnimplemented(parsed),
                                 "an archive gives out entries alone", entry));
          return absl::OkStatus();
        });
    if (head.ok())
      promise.Update(
          Promise(head->entries == taken, "an archive has as many entries as it says", bytes));
  }
  close(fd);
  return promise;
}

}  // namespace

absl::Status TryInput(absl::string_view input) {
  if (input.empty()) return absl::OkStatus();
  switch (input.front()) {
    case 'l':
      return TryLog(input.substr(1));
    case 'a':
      return TryArchive(input.substr(1));
    default:
      return absl::OkStatus();
  }
}

}  // namespace rundlet::testing

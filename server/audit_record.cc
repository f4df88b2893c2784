#include "server/audit_record.h"

#include <vector>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "server/private_file.h"

namespace rundlet::server {
namespace {

std::string FileIn(const std::string& data_dir) { return data_dir + "/audit"; }

}  // namespace

absl::Status WriteAuditRecord(const std::string& data_dir, const AuditRecord& record) {
  return Replace(FileIn(data_dir),
                 absl::StrCat("at ", absl::FormatTime(record.at, absl::UTCTimeZone()),
                              "\nproblems ", record.problems, "\n"),
                 /*shared=*/true);
}

absl::StatusOr<AuditRecord> ReadAuditRecord(const std::string& data_dir) {
  const absl::StatusOr<std::string> text = ReadShared(FileIn(data_dir));
  if (!text.ok()) return text.status();
  const std::vector<absl::string_view> words = absl::StrSplit(*text, absl::ByAnyChar(" \n"));
  AuditRecord record;
  std::string error;
  if (words.size() >= 4 && words[0] == "at" && words[2] == "problems" &&
      absl::ParseTime(absl::RFC3339_full, std::string(words[1]), &record.at, &error) &&
      absl::SimpleAtoi(words[3], &record.problems))
    return record;
  return absl::DataLossError(
      absl::StrCat(FileIn(data_dir), " is damaged: run rundletd audit, which writes it anew"));
}

}  // namespace rundlet::server

#include "tests/outside/oenology/check_rows.h"

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <utility>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "tests/outside/page.h"

namespace rundlet::oenology {
namespace {

[[noreturn]] void Refuse(const std::string& file, int line, absl::string_view why) {
  std::fprintf(stderr, "%s:%d: %s\n", file.c_str(), line, std::string(why).c_str());
  std::abort();
}

double NumberIn(const std::string& file, int line, absl::string_view text) {
  double value = 0;
  if (!absl::SimpleAtod(text, &value)) Refuse(file, line, absl::StrCat("no number: ", text));
  return value;
}

}  // namespace

std::vector<CheckRow> ReadCheckRows(const std::string& file_name) {
  const std::string path = absl::StrCat(RUNDLET_OENOLOGY_CHECKS, "/", file_name);
  std::ifstream file(path);
  if (!file) Refuse(path, 0, "cannot be read");
  std::vector<CheckRow> rows;
  std::string line;
  bool header_seen = false;
  for (int number = 1; std::getline(file, line); ++number) {
    if (line.empty() || line[0] == '#') continue;
    const std::vector<std::string> fields = testing::CsvFields(line);
    if (!std::exchange(header_seen, true)) continue;
    if (fields.size() < 7) Refuse(path, number, "too few columns");
    CheckRow row{.line = number, .check = fields[0]};
    for (absl::string_view input : absl::StrSplit(fields[1], ';', absl::SkipWhitespace())) {
      const std::pair<absl::string_view, absl::string_view> pair =
          absl::StrSplit(absl::StripAsciiWhitespace(input), absl::MaxSplits('=', 1));
      row.inputs[std::string(pair.first)] = NumberIn(path, number, pair.second);
    }
    row.expected = NumberIn(path, number, fields[2]);
    row.unit = fields[3];
    row.tolerance = NumberIn(path, number, fields[4]);
    row.source = fields[5];
    row.mark = fields[6];
    if (row.source.empty() || row.mark.empty()) Refuse(path, number, "no source or no mark");
    if (!(row.tolerance > 0)) Refuse(path, number, "no tolerance");
    rows.push_back(std::move(row));
  }
  return rows;
}

double Input(const CheckRow& row, const std::string& name) {
  const auto found = row.inputs.find(name);
  if (found == row.inputs.end()) Refuse(row.check, row.line, absl::StrCat("no input ", name));
  return found->second;
}

}  // namespace rundlet::oenology

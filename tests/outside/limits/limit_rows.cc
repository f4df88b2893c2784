#include "tests/outside/limits/limit_rows.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <utility>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/string_view.h"
#include "tests/outside/page.h"

namespace rundlet::rules {
namespace {

[[noreturn]] void Refuse(int line, absl::string_view why) {
  std::fprintf(stderr, "%s:%d: %s\n", RUNDLET_LIMIT_ROWS, line, std::string(why).c_str());
  std::abort();
}

struct UnitScale {
  absl::string_view written;
  int64_t scale;
  absl::string_view small;
};

constexpr UnitScale kScales[] = {
    {"ug/L", 1, "ug/L"},
    {"mg/L", 1000, "ug/L"},
    {"g/hL", 10'000, "ug/L"},
    {"g/L", 1'000'000, "ug/L"},
    {"mg/kg", 1000, "ug/kg"},
    {"meq/L", 1000, "ueq/L"},
    {"% of volume", 10'000, "ppm volume"},
    {"% vol", 10'000, "ppm alcohol"},
    {"Brix", 1000, "milli Brix"},
    {"pH", 1000, "milli pH"},
};

// "7.19" x 1000000, with nothing lost. -1 where it is no such number.
int64_t Scaled(const std::string& text, int64_t scale) {
  const size_t point = text.find('.');
  std::string digits = text.substr(0, point);
  if (point != std::string::npos) {
    for (const char c : text.substr(point + 1)) {
      if (scale % 10 != 0) return -1;
      digits += c;
      scale /= 10;
    }
  }
  int64_t value = 0;
  return absl::SimpleAtoi(digits, &value) ? value * scale : -1;
}

}  // namespace

std::vector<LimitRow> ReadLimitRows() {
  std::ifstream file(RUNDLET_LIMIT_ROWS);
  if (!file) Refuse(0, "cannot be read");
  std::vector<LimitRow> rows;
  std::string line;
  bool header_seen = false;
  for (int number = 1; std::getline(file, line); ++number) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> f = testing::CsvFields(line);
    if (f.size() != 15) Refuse(number, "not 15 columns");
    if (!std::exchange(header_seen, true)) continue;
    rows.push_back({number, f[0], f[1], f[2], f[3], f[4], f[5], f[6], f[7], f[8], f[9], f[10],
                    f[11], f[12], f[13], f[14]});
  }
  return rows;
}

std::string InSmallUnits(const LimitRow& row) {
  if (row.value.empty() && row.unit.empty()) return "";
  for (const UnitScale& unit : kScales) {
    if (row.unit != unit.written) continue;
    const int64_t value = Scaled(row.value, unit.scale);
    if (value <= 0) Refuse(row.line, absl::StrCat("no figure: ", row.value, " ", row.unit));
    return absl::StrCat(value, " ", unit.small);
  }
  Refuse(row.line, absl::StrCat("no unit of ours: ", row.unit));
}

}  // namespace rundlet::rules

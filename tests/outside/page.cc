#include "tests/outside/page.h"

#include <cstdlib>
#include <fstream>
#include <sstream>

#include "absl/strings/str_cat.h"

namespace rundlet::testing {
namespace {

std::string ReadAll(const std::string& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace

std::vector<std::string> CsvFields(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
      fields.back() += line[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  return fields;
}

std::string KeepPageEqual(const std::string& path, absl::string_view begin, absl::string_view end,
                          absl::string_view list) {
  const std::string page = ReadAll(path);
  const size_t from = page.find(std::string(begin));
  const size_t to = page.find(std::string(end));
  if (from == std::string::npos || to == std::string::npos)
    return absl::StrCat(path, " has lost a marker line");
  const std::string want = absl::StrCat(page.substr(0, from + begin.size()), list, page.substr(to));
  if (page == want) return "";
  if (std::getenv("RUNDLET_WRITE_DOCS") == nullptr) {
    return absl::StrCat(path,
                        " is behind the program: run this test with RUNDLET_WRITE_DOCS=1, and "
                        "commit it");
  }
  std::ofstream(path) << want;
  return ReadAll(path) == want ? "" : absl::StrCat(path, " could not be written");
}

}  // namespace rundlet::testing

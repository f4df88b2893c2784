#include "tests/load/report.h"

#include <cstdio>
#include <fstream>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"

namespace rundlet::load {

void Report::Heading(absl::string_view text) {
  absl::PrintF("\n== %s\n", text);
  std::fflush(stdout);
}

void Report::Figure(absl::string_view name, double value, absl::string_view unit) {
  // Whole numbers where the digits behind the point say nothing.
  const std::string text = absl::StrFormat(value >= 1000 ? "%.0f" : "%.4g", value);
  absl::PrintF("%-66s %12s  %s\n", name, text, unit);
  std::fflush(stdout);
  json_.push_back(absl::StrCat("\"", name, " (", unit, ")\": ", text));
}

void Report::Calls(absl::string_view name, const Latencies& latencies, double seconds) {
  Figure(name, static_cast<double>(latencies.count()) / seconds, "calls a second");
  Figure(absl::StrCat(name, ", median"), latencies.Quantile(0.5), "ms");
  Figure(absl::StrCat(name, ", 99 of 100 within"), latencies.Quantile(0.99), "ms");
}

absl::Status Report::WriteJson(const std::string& path) const {
  std::ofstream file(path);
  file << "{" << absl::StrJoin(json_, ",\n ") << "}\n";
  file.close();
  if (!file) return absl::UnavailableError(absl::StrCat("cannot write ", path));
  return absl::OkStatus();
}

}  // namespace rundlet::load

#include "tests/faults/report.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "client/cli/json.h"

namespace rundlet::testing {

std::string Report::ToTable() const {
  std::string table = absl::StrFormat("%4s  %-44s %6s %12s %6s %8s %10s\n", "case", "fault", "runs",
                                      "acknowledged", "lost", "doubled", "recovery");
  for (const Tally& line : lines_) {
    const std::string recovery =
        line.recovery == absl::ZeroDuration()
            ? "-"
            : absl::StrFormat("%.1f s", absl::ToDoubleSeconds(line.recovery));
    absl::StrAppend(
        &table, absl::StrFormat("%4d  %-44s %6d %12d %6d %8d %10s", line.number, line.title,
                                line.runs, line.acknowledged, line.lost, line.doubled, recovery));
    absl::StrAppend(&table, line.passed ? "" : "  FAILED",
                    line.remark.empty() ? "" : absl::StrCat("  ", line.remark), "\n");
  }
  return table;
}

std::string Report::ToJson(uint64_t seed, bool is_long) const {
  std::vector<std::string> cases;
  for (const Tally& line : lines_) {
    cases.push_back(client::JsonObject()
                        .Number("case", line.number)
                        .Text("title", line.title)
                        .Number("runs", line.runs)
                        .Number("acknowledged", line.acknowledged)
                        .Number("lost", line.lost)
                        .Number("doubled", line.doubled)
                        .Number("recovery_ms", absl::ToInt64Milliseconds(line.recovery))
                        .Text("remark", line.remark)
                        .Bool("passed", line.passed)
                        .Finish());
  }
  return client::JsonObject()
      .Number("seed", static_cast<int64_t>(seed))
      .Bool("long", is_long)
      .Raw("cases", client::JsonArray(cases))
      .Finish();
}

Report& TheReport() {
  static Report report;
  return report;
}

}  // namespace rundlet::testing

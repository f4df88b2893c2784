#include "server/metrics/registry.h"

#include <cmath>
#include <cstdlib>

#include "absl/algorithm/container.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_replace.h"

namespace rundlet::server {
namespace {

constexpr char kCounter[] = "counter", kGauge[] = "gauge", kHistogram[] = "histogram";

// As OpenMetrics writes numbers: 12.0, 0.0005, +Inf.
std::string Number(double value) {
  if (std::isnan(value)) return "NaN";
  if (std::isinf(value)) return value > 0 ? "+Inf" : "-Inf";
  std::string text = absl::StrFormat("%.15g", value);
  if (!absl::StrContains(text, '.') && !absl::StrContains(text, 'e')) text += ".0";
  return text;
}

std::string Braced(const Registry::Labels& labels) {
  if (labels.empty()) return "";
  std::string text;
  for (const auto& [name, value] : labels) {
    absl::StrAppend(&text, text.empty() ? "{" : ",", name, "=\"",
                    absl::StrReplaceAll(value, {{"\\", "\\\\"}, {"\"", "\\\""}, {"\n", "\\n"}}),
                    "\"");
  }
  return text + "}";
}

void PrintHistogram(const Histogram& histogram, const Registry::Labels& labels,
                    const std::string& name, std::string& out) {
  // The count is the sum of what was read here: another thread may be counting meanwhile.
  uint64_t count = 0;
  for (size_t i = 0; i <= histogram.bounds().size(); ++i) {
    count += histogram.bucket(i);
    Registry::Labels with_bound = labels;
    with_bound.emplace_back("le",
                            i < histogram.bounds().size() ? Number(histogram.bounds()[i]) : "+Inf");
    absl::StrAppend(&out, name, "_bucket", Braced(with_bound), " ", count, "\n");
  }
  absl::StrAppend(&out, name, "_count", Braced(labels), " ", count, "\n");
  absl::StrAppend(&out, name, "_sum", Braced(labels), " ", Number(histogram.sum()), "\n");
}

// The unit that a name ends in.
absl::string_view UnitOf(absl::string_view name) {
  for (const absl::string_view unit : {"seconds", "bytes"}) {
    if (absl::EndsWith(name, absl::StrCat("_", unit))) return unit;
  }
  return "";
}

}  // namespace

void Registry::Begin(absl::string_view name, const char* type, absl::string_view help) {
  if (absl::c_any_of(families_, [&](const Family& family) { return family.name == name; }))
    std::abort();
  families_.push_back({std::string(name), type, std::string(help), {}});
}

void Registry::Counters(absl::string_view name, absl::string_view help) {
  Begin(name, kCounter, help);
}
void Registry::Gauges(absl::string_view name, absl::string_view help) { Begin(name, kGauge, help); }
void Registry::Histograms(absl::string_view name, absl::string_view help) {
  Begin(name, kHistogram, help);
}

void Registry::Add(const Counter& counter, Labels labels) {
  if (families_.back().type != kCounter) std::abort();
  Add([&counter] { return static_cast<double>(counter.value()); }, std::move(labels));
}

void Registry::Add(const Histogram& histogram, Labels labels) {
  if (families_.back().type != kHistogram) std::abort();
  families_.back().samples.push_back(
      [&histogram, labels = std::move(labels)](const std::string& name, std::string& out) {
        PrintHistogram(histogram, labels, name, out);
      });
}

void Registry::Add(std::function<double()> value, Labels labels) {
  if (families_.back().type == kHistogram) std::abort();
  const char* suffix = families_.back().type == kCounter ? "_total" : "";
  families_.back().samples.push_back([value = std::move(value), suffix, braced = Braced(labels)](
                                         const std::string& name, std::string& out) {
    absl::StrAppend(&out, name, suffix, braced, " ", Number(value()), "\n");
  });
}

std::string Registry::Print() const {
  std::string out;
  for (const Family& family : families_) {
    absl::StrAppend(&out, "# TYPE ", family.name, " ", family.type, "\n");
    if (const absl::string_view unit = UnitOf(family.name); !unit.empty())
      absl::StrAppend(&out, "# UNIT ", family.name, " ", unit, "\n");
    absl::StrAppend(&out, "# HELP ", family.name, " ", family.help, "\n");
    for (const Printer& print : family.samples) print(family.name, out);
  }
  return out + "# EOF\n";
}

}  // namespace rundlet::server

#include "core/counts/sheet.h"

#include <set>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/entry/limits.h"
#include "core/quantity/format.h"
#include "core/quantity/text.h"
#include "core/view/board.h"

namespace rundlet::counts {
namespace {

using absl::string_view;

class SheetReader {
 public:
  absl::StatusOr<Sheet> Read(string_view text) {
    for (string_view line : absl::StrSplit(text, '\n')) {
      ++number_;
      line = absl::StripAsciiWhitespace(line);
      if (line.empty() || line[0] == '#') continue;
      if (absl::Status status = ReadLine(line); !status.ok()) return status;
    }
    std::erase_if(sheet_.bins, [](const SheetBin& bin) { return bin.lines.empty(); });
    if (sheet_.bins.empty())
      return absl::InvalidArgumentError(
          "nothing is counted on this sheet: write the numbers behind the \"=\"");
    return sheet_;
  }

 private:
  absl::Status Wrong(string_view what) const {
    return absl::InvalidArgumentError(absl::StrCat("line ", number_, ": ", what));
  }

  absl::Status ReadLine(string_view line) {
    if (absl::ConsumePrefix(&line, "at:")) {
      if (!sheet_.at.empty()) return Wrong("the time of the count is said twice");
      sheet_.at = std::string(absl::StripAsciiWhitespace(line));
      return absl::OkStatus();
    }
    if (absl::ConsumePrefix(&line, "bin:")) {
      const std::string name(absl::StripAsciiWhitespace(line));
      if (name.empty()) return Wrong("which bin? Write bin: NAME");
      if (!seen_.insert(absl::AsciiStrToLower(name)).second)
        return Wrong(absl::StrCat(Quoted(name), " is on this sheet already"));
      runs_.clear();
      sheet_.bins.push_back({.number = number_, .bin = name});
      return absl::OkStatus();
    }
    return ReadCount(line);
  }

  absl::Status ReadCount(string_view line) {
    const size_t equals = line.rfind('=');
    if (equals == string_view::npos)
      return Wrong(absl::StrCat(Quoted(line), " says no number: write RUN@750mL = 8"));
    if (sheet_.bins.empty()) return Wrong("in which bin? Write a line bin: NAME before it");
    const std::string run(absl::StripAsciiWhitespace(line.substr(0, equals)));
    // A name may hold a "#"; behind the number it begins a remark.
    const string_view behind = line.substr(equals + 1);
    const string_view value = absl::StripAsciiWhitespace(behind.substr(0, behind.find('#')));
    if (run.empty()) return Wrong("bottles of which run? Write RUN@750mL = 8");
    if (!runs_.insert(absl::AsciiStrToLower(run)).second)
      return Wrong(absl::StrCat(Quoted(run), " is counted twice in this bin: add the numbers up"));
    if (value.empty()) return absl::OkStatus();
    int64_t bottles = 0;
    if (!absl::SimpleAtoi(value, &bottles) || bottles < 0 || bottles > kMaxBottles)
      return Wrong(absl::StrCat(Quoted(value), " is no number of bottles"));
    sheet_.bins.back().lines.push_back({.number = number_, .run = run, .bottles = bottles});
    return absl::OkStatus();
  }

  Sheet sheet_;
  int number_ = 0;
  std::set<std::string> seen_;  // bins
  std::set<std::string> runs_;  // of the bin
};

}  // namespace

absl::StatusOr<Sheet> ReadSheet(absl::string_view text) { return SheetReader().Read(text); }

std::string BlankSheet(const Fold& fold, absl::Span<const Handle> bins) {
  std::string text =
      "# Write how many bottles lie there behind the \"=\". What was not counted stays empty; none "
      "is 0.\n"
      "# Something else lies there: a line of its own, RUN@750mL = 2.\n"
      "at: now\n";
  for (const Handle bin : bins) {
    const v1::BinLine line = MakeBinLine(fold, bin);
    absl::StrAppend(&text, "\nbin: ", line.name(), "\n");
    for (const v1::BottleLine& bottles : line.bottles())
      absl::StrAppend(&text, bottles.bottling_name(), "@",
                      absl::StrReplaceAll(FormatVolumeExact(bottles.size_ul()), {{" ", ""}}),
                      " =\n");
  }
  return text;
}

}  // namespace rundlet::counts

#include "core/reports/cell_text.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"

namespace rundlet::reports {

std::string PercentText(int64_t ppm, int decimals) {
  int64_t unit = 10'000;  // millionths in a last digit
  int64_t scale = 1;
  for (int i = 0; i < decimals; ++i) {
    unit /= 10;
    scale *= 10;
  }
  const int64_t rounded = (ppm + unit / 2) / unit;
  if (decimals == 0) return absl::StrCat(rounded);
  return absl::StrFormat("%d.%0*d", rounded / scale, decimals, rounded % scale);
}

std::string CellText(const Cell& cell) {
  switch (cell.kind) {
    case Cell::Kind::kEmpty:
      return "";
    case Cell::Kind::kText:
      return cell.text;
    case Cell::Kind::kVolume:
      return FormatVolume(cell.base);
    case Cell::Kind::kCount:
      return absl::StrCat(cell.base);
    case Cell::Kind::kAmount:
      return FormatAmountOf(cell.dimension, cell.base);
    case Cell::Kind::kPpm:
      return absl::StrCat(PercentText(cell.base, 1), " %");
    case Cell::Kind::kDay:
      return FormatWhenDay(cell.when);
    case Cell::Kind::kMoment:
      return FormatWhen(cell.when);
  }
  return "";
}

}  // namespace rundlet::reports

#ifndef RUNDLET_CORE_REPORTS_REPORT_H_
#define RUNDLET_CORE_REPORTS_REPORT_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/quantity/when.h"
#include "rundlet/v1/types.pb.h"

namespace rundlet::reports {

// A report is one table. Reports say what is in their cells, in whole base units; how that is
// printed - for people, as CSV, as JSON - is written once, by whoever takes the rows.
struct Cell {
  enum class Kind : uint8_t {
    kEmpty,
    kText,
    kVolume,  // base: microlitres
    kCount,   // base: bottles or pieces
    kAmount,  // base, in the base unit of `dimension`
    kPpm,     // base: millionths, shown as per cent
    kDay,     // when
    kMoment,  // when
  };

  Kind kind = Kind::kEmpty;
  v1::Dimension dimension = v1::DIMENSION_UNSPECIFIED;
  int64_t base = 0;
  When when;
  std::string text;

  static Cell Text(absl::string_view text) {
    return text.empty() ? Cell{} : Cell{.kind = Kind::kText, .text = std::string(text)};
  }
  static Cell Volume(int64_t volume_ul) { return {.kind = Kind::kVolume, .base = volume_ul}; }
  static Cell Count(int64_t count) { return {.kind = Kind::kCount, .base = count}; }
  static Cell Amount(v1::Dimension dimension, int64_t base) {
    return {.kind = Kind::kAmount, .dimension = dimension, .base = base};
  }
  static Cell Ppm(int64_t ppm) { return {.kind = Kind::kPpm, .base = ppm}; }
  static Cell Day(const When& when) { return {.kind = Kind::kDay, .when = when}; }
  static Cell Moment(const When& when) { return {.kind = Kind::kMoment, .when = when}; }
};

struct Column {
  std::string key;      // in JSON: "opening"
  std::string heading;  // for people and CSV: "On hand before"
  bool right = false;   // numbers stand flush right
  bool under = false;   // long words: for people, on a line of their own under the row
};

// Takes a report as it is made, row by row, so that a long one need not be in memory.
class Sink {
 public:
  virtual ~Sink() = default;
  // What stands over the report; before Begin.
  virtual void Head(absl::string_view sentence) = 0;
  // Once, before all rows. `name` is one word: "register".
  virtual void Begin(absl::string_view name, absl::Span<const Column> columns) = 0;
  // As many cells as there are columns.
  virtual void Row(absl::Span<const Cell> cells) = 0;
  // What whoever reads the report must know; after the last row.
  virtual void Note(absl::string_view sentence) = 0;
};

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_REPORT_H_

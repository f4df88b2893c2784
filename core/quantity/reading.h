#ifndef RUNDLET_CORE_QUANTITY_READING_H_
#define RUNDLET_CORE_QUANTITY_READING_H_

#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/quantity/reading_kind.h"

namespace rundlet {

// A measured value, kept as it was read: no correction, no conversion.
struct Reading {
  ReadingKind kind = ReadingKind::kUnspecified;
  ReadingUnit unit = ReadingUnit::kUnspecified;
  int64_t value_micro = 0;  // millionths of the unit: 1.0965 SG is 1'096'500

  friend bool operator==(const Reading&, const Reading&) = default;
};

// A reading as a hand writes it: a decimal number (at most six decimals, a decimal comma is fine),
// then its unit; or the unit in front, as in "pH 3.4". Case, spaces and degree signs do not count.
//
//   density             1.096   1096 kg/m3   1.096 g/mL   24.5 Brix   24°P   13 Be   96 Oe
//   temperature         20   20C   68F
//   pH                  3.4   pH 3.4
//   titratable acidity  6.2   6.2 g/L   4 g/L as sulfuric   5.5 g/L as malic
//   free, total SO2     30   30 mg/L   30 ppm
//   volatile acidity    0.45   0.45 g/L
//   residual sugar      4   4 g/L
//   alcohol             13.2   13.2%   13.2 %vol
//
// Without a unit the first of each line is meant, and the value must be one that wine usually has;
// with its unit it need only be possible at all. Acids in g/L are as tartaric, volatile acidity is
// as acetic acid. With kind kUnspecified the unit must be written and must tell the kind by itself.
//
// InvalidArgument for text that is no reading and for a unit of another kind; OutOfRange for a
// value that cannot be meant, with a guess at what was ("pH 35": 3.5?). The text says what to
// write.
absl::StatusOr<Reading> ParseReading(ReadingKind kind, absl::string_view text);

// The kind by the word that commands take ("sg", "temp", "ta", "fso2", ...); InvalidArgument with
// the list of words otherwise.
absl::StatusOr<ReadingKind> ParseReadingKind(absl::string_view word);

absl::string_view ReadingKindName(ReadingKind kind);    // "free SO2"; "reading" when unspecified
absl::string_view ReadingUnitSymbol(ReadingUnit unit);  // "°Bx"; "" when unspecified

// "1.096 SG", "24.5 °Bx", "20 °C", "pH 3.40": all digits of the value, at least as many decimals as
// the unit's instruments give. ParseReading() of the result gives the same value, if it is
// possible.
std::string FormatReading(int64_t value_micro, ReadingUnit unit);

// The same with at most `max_decimals` (0 to 6), halves to even: for computed values.
std::string FormatReadingRounded(int64_t value_micro, ReadingUnit unit, int max_decimals);

// (F - 32) * 5/9 to the nearest millionth, halves to even; and back, C * 9/5 + 32. For display, and
// for sums that need Celsius; the book keeps what was read. Saturates where 64 bits end.
int64_t CelsiusOfFahrenheit(int64_t fahrenheit_micro);
int64_t FahrenheitOfCelsius(int64_t celsius_micro);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_READING_H_

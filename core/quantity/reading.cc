#include "core/quantity/reading.h"

#include <algorithm>
#include <limits>
#include <utility>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "core/quantity/number.h"
#include "core/quantity/reading_units.h"
#include "core/quantity/rounding.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

constexpr int64_t kMicro = 1'000'000;
// Far beyond any instrument, and a thousand times it still fits 64 bits.
constexpr int64_t kMaxMicro = 1'000'000'000 * kMicro;

// ---- Reading the parts -------------------------------------------------------------------------

struct Written {
  Number number;
  std::string unit;  // folded like the aliases of the table; empty where none was written
};

std::string FoldUnit(absl::string_view unit) {
  return absl::StrReplaceAll(
      absl::AsciiStrToLower(unit),
      {{" ", ""}, {".", ""}, {"°", ""}, {"acid", ""}, {"É", "é"}, {"Ö", "ö"}});
}

// "24.5 °Bx" or "pH 3.4".
absl::StatusOr<Written> Read(absl::string_view text) {
  const std::string tidy = Tidy(text);
  absl::string_view rest = tidy;
  absl::string_view front;
  if (!rest.empty() && absl::ascii_isalpha(rest[0])) {
    front = rest.substr(0, rest.find_first_of("0123456789.,+-"));
    rest.remove_prefix(front.size());
  }
  const absl::StatusOr<Number> number = TakeNumber(&rest);
  if (!number.ok()) {
    if (!absl::IsInvalidArgument(number.status())) return number.status();
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text), " is not a reading: write one number, then its unit"));
  }
  if (!front.empty() && !rest.empty()) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text), " has words on both sides of the number: write the unit once"));
  }
  return Written{*number, FoldUnit(front.empty() ? rest : front)};
}

absl::StatusOr<int64_t> MicroOf(const Number& number, absl::string_view text) {
  const auto micro = DivideHalfEven(__int128{number.num} * kMicro, number.den);
  if (!micro.has_value() || micro->value > kMaxMicro || micro->value < -kMaxMicro) {
    return absl::OutOfRangeError(
        absl::StrCat(Quoted(text), " is far beyond any reading: check the number"));
  }
  if (!micro->exact) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text), " cannot be kept to six decimals: write fewer digits"));
  }
  return micro->value;
}

// ---- Choosing the row --------------------------------------------------------------------------

const ReadingRow* DefaultRow(ReadingKind kind) {
  for (const ReadingRow& row : AllReadingRows()) {
    if (row.kind == kind) return &row;
  }
  return nullptr;
}

bool Spells(const ReadingRow& row, absl::string_view unit) {
  for (const absl::string_view alias : absl::StrSplit(row.aliases, ' ')) {
    if (alias == unit) return true;
  }
  return false;
}

absl::Status NoSuchUnit(ReadingKind kind, absl::string_view text) {
  if (kind == ReadingKind::kUnspecified) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text),
                     " has no unit that tells what was measured: say density, "
                     "temperature, pH or the like"));
  }
  std::vector<absl::string_view> symbols;
  for (const ReadingRow& row : AllReadingRows()) {
    if (row.kind == kind) symbols.push_back(ReadingUnitSymbol(row.unit));
  }
  return absl::InvalidArgumentError(absl::StrCat(Quoted(text), " has no unit of ",
                                                 ReadingKindName(kind), ": write it in ",
                                                 absl::StrJoin(symbols, ", ")));
}

absl::StatusOr<const ReadingRow*> ChooseRow(ReadingKind kind, absl::string_view unit,
                                            absl::string_view text) {
  const ReadingRow* chosen = unit.empty() ? DefaultRow(kind) : nullptr;
  if (!unit.empty()) {
    for (const ReadingRow& row : AllReadingRows()) {
      const bool fits = kind == ReadingKind::kUnspecified || kind == row.kind;
      if (!fits || !Spells(row, unit)) continue;
      if (chosen != nullptr) return NoSuchUnit(ReadingKind::kUnspecified, text);
      chosen = &row;
    }
  }
  if (chosen == nullptr) return NoSuchUnit(kind, text);
  return chosen;
}

// ---- Judging the value -------------------------------------------------------------------------

// What may have been meant: the point slipped, or another unit of the kind left out.
std::vector<std::string> Guesses(const ReadingRow& row, int64_t value_micro) {
  std::vector<std::string> guesses;
  for (const auto& [num, den] :
       {std::pair{1, 10}, {10, 1}, {1, 100}, {100, 1}, {1, 1000}, {1000, 1}}) {
    if (value_micro % den != 0) continue;
    const int64_t shifted = value_micro / den * num;
    if (value_micro == 0 || !row.usual.Has(shifted)) continue;
    guesses.push_back(FormatReading(shifted, row.unit));
    break;
  }
  for (const ReadingRow& other : AllReadingRows()) {
    if (other.kind != row.kind || other.unit == row.unit || !other.usual.Has(value_micro)) continue;
    guesses.push_back(FormatReading(value_micro, other.unit));
  }
  return guesses;
}

absl::Status Implausible(const ReadingRow& row, int64_t value_micro, absl::string_view text) {
  const bool possible = row.possible.Has(value_micro);
  const std::string as_read = FormatReading(value_micro, row.unit);
  std::string message =
      possible ? absl::StrCat(Quoted(text), " is unusual for ", ReadingKindName(row.kind))
               : absl::StrCat(Quoted(text), " is not possible for ", ReadingKindName(row.kind),
                              " (", FormatReading(row.possible.low_micro, row.unit), " to ",
                              FormatReading(row.possible.high_micro, row.unit), ")");
  const std::vector<std::string> guesses = Guesses(row, value_micro);
  if (guesses.empty()) {
    absl::StrAppend(&message, ": check the number and the unit.");
  } else {
    absl::StrAppend(&message, ": did you mean ", absl::StrJoin(guesses, " or "), "?");
  }
  if (possible) absl::StrAppend(&message, " If it is right, write ", Quoted(as_read));
  return absl::OutOfRangeError(message);
}

// "1,096" may be 1.096 or 1096: the one that lies in `span`, when only one does.
absl::StatusOr<int64_t> ResolveComma(int64_t decimal_micro, const ReadingRange& span,
                                     absl::string_view text) {
  const int64_t grouped_micro = decimal_micro * 1000;
  if (!span.Has(grouped_micro)) return decimal_micro;
  if (!span.Has(decimal_micro)) return grouped_micro;
  return absl::InvalidArgumentError(absl::StrCat(Quoted(text), " can be read in two ways: write ",
                                                 PrintRatio(decimal_micro, kMicro, 0, 6), " or ",
                                                 PrintRatio(grouped_micro, kMicro, 0, 6)));
}

int64_t Saturated(__int128 num, __int128 den) {
  const auto result = DivideHalfEven(num, den);
  if (result.has_value()) return result->value;
  return num < 0 ? std::numeric_limits<int64_t>::min() : std::numeric_limits<int64_t>::max();
}

}  // namespace

absl::StatusOr<Reading> ParseReading(ReadingKind kind, absl::string_view text) {
  const absl::StatusOr<Written> written = Read(text);
  if (!written.ok()) return written.status();
  const absl::StatusOr<const ReadingRow*> found = ChooseRow(kind, written->unit, text);
  if (!found.ok()) return found.status();
  const ReadingRow& row = **found;

  absl::StatusOr<int64_t> value_micro = MicroOf(written->number, text);
  if (!value_micro.ok()) return value_micro.status();
  const ReadingRange& span = written->unit.empty() ? row.usual : row.possible;
  if (written->number.ambiguous_comma) {
    value_micro = ResolveComma(*value_micro, span, text);
    if (!value_micro.ok()) return value_micro.status();
  }
  if (!span.Has(*value_micro)) return Implausible(row, *value_micro, text);
  return Reading{row.kind, row.unit, *value_micro};
}

absl::StatusOr<ReadingKind> ParseReadingKind(absl::string_view word) {
  const std::string folded =
      absl::StrReplaceAll(absl::AsciiStrToLower(Tidy(word)), {{" ", "-"}, {"_", "-"}});
  std::vector<absl::string_view> firsts;
  for (const ReadingKindInfo& info : AllReadingKinds()) {
    const std::vector<absl::string_view> words = absl::StrSplit(info.words, ' ');
    if (std::find(words.begin(), words.end(), folded) != words.end()) return info.kind;
    firsts.push_back(words.front());
  }
  return absl::InvalidArgumentError(absl::StrCat(
      Quoted(word), " is not a kind of reading: write one of ", absl::StrJoin(firsts, ", ")));
}

absl::string_view ReadingKindName(ReadingKind kind) {
  for (const ReadingKindInfo& info : AllReadingKinds()) {
    if (info.kind == kind) return info.name;
  }
  return "reading";
}

absl::string_view ReadingUnitSymbol(ReadingUnit unit) { return InfoOf(unit).symbol; }

std::string FormatReading(int64_t value_micro, ReadingUnit unit) {
  return FormatReadingRounded(value_micro, unit, 6);
}

std::string FormatReadingRounded(int64_t value_micro, ReadingUnit unit, int max_decimals) {
  const ReadingUnitInfo& info = InfoOf(unit);
  const std::string number =
      PrintRatio(value_micro, kMicro, std::min(info.min_decimals, max_decimals), max_decimals);
  if (unit == ReadingUnit::kPh) return absl::StrCat(info.symbol, " ", number);
  return info.symbol.empty() ? number : absl::StrCat(number, " ", info.symbol);
}

int64_t CelsiusOfFahrenheit(int64_t fahrenheit_micro) {
  return Saturated((__int128{fahrenheit_micro} - 32 * kMicro) * 5, 9);
}

int64_t FahrenheitOfCelsius(int64_t celsius_micro) {
  return Saturated(__int128{celsius_micro} * 9 + 160 * kMicro, 5);
}

}  // namespace rundlet

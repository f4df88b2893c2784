#include "core/quantity/rate.h"

#include <algorithm>
#include <limits>
#include <optional>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

// Some number of a unit, in base units, in lowest terms.
struct Ratio {
  __int128 num = 0;
  __int128 den = 1;
};

absl::StatusOr<Ratio> RatioOf(const Number& number, const Unit& unit, absl::string_view text) {
  // Half a tablet per gallon is a fine rate, though no amount: Times() judges what comes of it.
  if (absl::Status written = CheckWritten(number, text); !written.ok()) return written;
  Ratio ratio{__int128{number.num} * unit.num, __int128{number.den} * unit.den};
  const __int128 divisor = CommonDivisor(ratio.num, ratio.den);
  return Ratio{ratio.num / divisor, ratio.den / divisor};
}

// added / volume, or nothing where the terms outgrow 64 bits.
std::optional<Rate> Divide(Dimension dimension, Ratio added, Ratio volume) {
  const __int128 nums = CommonDivisor(added.num, volume.num);
  const __int128 dens = CommonDivisor(added.den, volume.den);
  __int128 num = 0, den = 0;
  if (__builtin_mul_overflow(added.num / nums, volume.den / dens, &num) ||
      __builtin_mul_overflow(added.den / dens, volume.num / nums, &den) ||
      std::max(num, den) > std::numeric_limits<int64_t>::max()) {
    return std::nullopt;
  }
  return Rate{dimension, static_cast<int64_t>(num), static_cast<int64_t>(den)};
}

// The text cut in two at its word "per" or its "/"; nothing where there is neither.
struct Halves {
  absl::string_view added, volume;
};
std::optional<Halves> Cut(absl::string_view text) {
  size_t at = text.find(" per ");  // before any "/", which may be that of "per 1/2 gal"
  size_t length = 5;
  if (at == absl::string_view::npos) {
    at = text.find('/');
    length = 1;
  }
  if (at == absl::string_view::npos) return std::nullopt;
  return Halves{absl::StripAsciiWhitespace(text.substr(0, at)),
                absl::StripAsciiWhitespace(text.substr(at + length))};
}

absl::Status NotARate(absl::string_view text) {
  return absl::InvalidArgumentError(absl::StrCat(
      Quoted(text), " is not an amount per volume: write one such as 0.5 g/L, 20 g/hL or 30 ppm"));
}

absl::StatusOr<Ratio> ReadVolume(absl::string_view written, absl::string_view text) {
  Number number{1, 1};
  absl::string_view unit_name = written;
  if (!written.empty() && !absl::ascii_isalpha(written[0])) {
    const absl::StatusOr<Number> given = TakeNumber(&unit_name);
    if (!given.ok()) return given.status();
    number = *given;
  }
  if (unit_name.empty()) return NotARate(text);
  const absl::StatusOr<const Unit*> unit = FindUnit(unit_name);
  if (!unit.ok()) return unit.status();
  if ((*unit)->dimension != Dimension::kVolume) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text), " is per ", DimensionName((*unit)->dimension),
                     ", but wine is dosed per volume: write it per L, hL or gal"));
  }
  return RatioOf(number, **unit, text);
}

}  // namespace

absl::StatusOr<Rate> ParseRate(absl::string_view text) {
  const std::string tidy = Tidy(text);
  if (tidy.empty()) {
    return absl::InvalidArgumentError("a rate is missing: write one, such as 0.5 g/L or 30 ppm");
  }
  absl::string_view rest = tidy;  // the number first: its "/" may be that of a fraction
  const absl::StatusOr<Number> number = TakeNumber(&rest);
  if (!number.ok()) return number.status();
  if (absl::EqualsIgnoreCase(rest, "ppm")) rest = "mg/L";

  // "/5 gal" or "per 5 gal" directly after the number counts pieces.
  const std::string padded = absl::StrCat(" ", rest);
  const std::optional<Halves> halves = Cut(padded);
  if (!halves.has_value()) return NotARate(text);
  const Unit* unit = &UnitNamed("pcs");
  if (!halves->added.empty()) {
    const absl::StatusOr<const Unit*> given = FindUnit(halves->added);
    if (!given.ok()) return given.status();
    unit = *given;
  }
  const absl::StatusOr<Ratio> added = RatioOf(*number, *unit, text);
  if (!added.ok()) return added.status();
  const absl::StatusOr<Ratio> volume = ReadVolume(halves->volume, text);
  if (!volume.ok()) return volume.status();
  const std::optional<Rate> rate = Divide(unit->dimension, *added, *volume);
  if (!rate.has_value()) {
    return absl::OutOfRangeError(
        absl::StrCat(Quoted(text), " is too fine a ratio to keep: write it with fewer digits"));
  }
  return *rate;
}

absl::StatusOr<Amount> Rate::Times(int64_t volume_ul) const {
  if (num <= 0 || den <= 0) {
    return absl::InvalidArgumentError(
        absl::StrCat("a rate of ", num, "/", den, " is none: both terms must be above zero"));
  }
  if (volume_ul <= 0) {
    return absl::InvalidArgumentError(absl::StrCat("a dose needs a volume greater than zero, not ",
                                                   volume_ul, " uL: check the vessel"));
  }
  const std::optional<Rounded> base = DivideHalfEven(__int128{num} * volume_ul, den);
  if (!base.has_value() || base->value > MaxBase(dimension)) {
    return absl::OutOfRangeError(absl::StrCat("the dose for ", volume_ul,
                                              " uL is more than one entry can hold: check the rate "
                                              "and the volume"));
  }
  if (base->value == 0) {
    return absl::OutOfRangeError(absl::StrCat("the dose for ", volume_ul, " uL is less than 1 ",
                                              BaseUnitName(dimension),
                                              ": check the rate and the volume"));
  }
  return Amount{dimension, base->value, base->exact};
}

}  // namespace rundlet

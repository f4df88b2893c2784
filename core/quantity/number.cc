#include "core/quantity/number.h"

#include <algorithm>
#include <cstddef>
#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

// 10^18 is the last power of ten within 63 bits; half the digits for either part of a fraction, so
// that the whole times the denominator fits too.
constexpr size_t kMaxDigits = 18;
constexpr size_t kMaxFractionDigits = 9;

absl::string_view TakeDigits(absl::string_view* text) {
  size_t length = 0;
  while (length < text->size() && absl::ascii_isdigit((*text)[length])) ++length;
  const absl::string_view digits = text->substr(0, length);
  text->remove_prefix(length);
  return digits;
}

void SkipSpaces(absl::string_view* text) { *text = absl::StripLeadingAsciiWhitespace(*text); }

absl::Status TooLong(absl::string_view written) {
  return absl::OutOfRangeError(absl::StrCat(Quoted(written), " has more than ", kMaxDigits,
                                            " digits: write it shorter or in a larger unit"));
}

// The value of at most 18 digits; the caller has counted them.
int64_t ValueOf(absl::string_view digits) {
  int64_t value = 0;
  for (const char c : digits) value = value * 10 + (c - '0');
  return value;
}

absl::string_view WithoutLeadingZeros(absl::string_view digits) {
  while (!digits.empty() && digits[0] == '0') digits.remove_prefix(1);
  return digits;
}

// "n/d" at the front, as in "1/2"; empty (and `text` untouched) when there is none.
struct Fraction {
  absl::string_view num, den;
};
std::optional<Fraction> TakeFraction(absl::string_view* text) {
  absl::string_view rest = *text;
  Fraction fraction;
  fraction.num = TakeDigits(&rest);
  if (fraction.num.empty() || !absl::ConsumePrefix(&rest, "/")) return std::nullopt;
  fraction.den = TakeDigits(&rest);
  if (fraction.den.empty()) return std::nullopt;
  *text = rest;
  return fraction;
}

absl::StatusOr<Number> WithFraction(absl::string_view whole, const Fraction& fraction,
                                    absl::string_view written) {
  whole = WithoutLeadingZeros(whole);
  if (std::max({whole.size(), fraction.num.size(), fraction.den.size()}) > kMaxFractionDigits) {
    return absl::OutOfRangeError(absl::StrCat(Quoted(written), " has a part of more than ",
                                              kMaxFractionDigits,
                                              " digits: write a decimal instead"));
  }
  const int64_t den = ValueOf(fraction.den);
  if (den == 0) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(written), " divides by zero: write a fraction such as 1/2"));
  }
  return Number{ValueOf(whole) * den + ValueOf(fraction.num), den};
}

absl::StatusOr<Number> WithDecimals(absl::string_view whole, char sign, absl::string_view decimals,
                                    absl::string_view written) {
  const bool may_group =
      sign == ',' && decimals.size() == 3 && !whole.empty() && whole.size() <= 3 && whole[0] != '0';
  whole = WithoutLeadingZeros(whole);
  if (whole.size() + decimals.size() > kMaxDigits) return TooLong(written);
  Number number{.den = 1, .ambiguous_comma = may_group};
  for (size_t i = 0; i < decimals.size(); ++i) number.den *= 10;
  number.num = ValueOf(whole) * number.den + ValueOf(decimals);
  return number;
}

absl::StatusOr<Number> TakeUnsigned(absl::string_view* text) {
  const absl::string_view written = *text;
  if (const auto fraction = TakeFraction(text)) return WithFraction("", *fraction, written);

  const absl::string_view whole = TakeDigits(text);
  const char sign = text->empty() ? ' ' : text->front();
  if (sign == '.' || sign == ',') {
    absl::string_view rest = text->substr(1);
    const absl::string_view decimals = TakeDigits(&rest);
    if (!decimals.empty()) {
      if (!rest.empty() && (rest[0] == '.' || rest[0] == ',')) {
        return absl::InvalidArgumentError(
            absl::StrCat(Quoted(written),
                         " has more than one decimal sign: leave out thousands "
                         "separators, and write a point before the decimals"));
      }
      *text = rest;
      return WithDecimals(whole, sign, decimals, written);
    }
  }
  if (whole.empty()) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(written), " does not begin with a number: write one, such as 18.5"));
  }
  absl::string_view rest = *text;
  SkipSpaces(&rest);
  if (rest.size() < text->size()) {
    if (const auto fraction = TakeFraction(&rest)) {
      *text = rest;
      return WithFraction(whole, *fraction, written);
    }
    if (!rest.empty() && absl::ascii_isdigit(rest[0])) {
      return absl::InvalidArgumentError(absl::StrCat(
          Quoted(written), " has a space between its digits: write the number in one piece"));
    }
  }
  return WithDecimals(whole, ' ', "", written);
}

}  // namespace

absl::StatusOr<Number> TakeNumber(absl::string_view* text) {
  absl::string_view rest = *text;
  SkipSpaces(&rest);
  const bool negative = absl::ConsumePrefix(&rest, "-");
  if (!negative) absl::ConsumePrefix(&rest, "+");
  absl::StatusOr<Number> number = TakeUnsigned(&rest);
  if (!number.ok()) return number;
  if (negative) number->num = -number->num;
  SkipSpaces(&rest);
  *text = rest;
  return number;
}

std::string PrintRatio(__int128 num, __int128 den, int min_decimals, int max_decimals) {
  const bool negative = num < 0;
  __int128 scaled = negative ? -num : num;
  for (int i = 0; i < max_decimals; ++i) scaled *= 10;
  __int128 quotient = scaled / den;
  const __int128 rest = scaled % den;
  if (rest > den - rest || (rest == den - rest && quotient % 2 != 0)) ++quotient;

  const bool zero = quotient == 0;
  std::string digits;  // least significant first
  for (; quotient != 0; quotient /= 10) digits += static_cast<char>('0' + quotient % 10);
  const size_t least = static_cast<size_t>(max_decimals) + 1;
  if (digits.size() < least) digits.append(least - digits.size(), '0');

  size_t drop = 0;  // zeros at the end
  while (drop < static_cast<size_t>(max_decimals - min_decimals) && digits[drop] == '0') ++drop;
  std::string printed = negative && !zero ? "-" : "";
  for (size_t i = digits.size(); i-- > drop;) {
    printed += digits[i];
    if (i == static_cast<size_t>(max_decimals) && i != drop) printed += '.';
  }
  return printed;
}

}  // namespace rundlet

#include "core/quantity/money.h"

#include <optional>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

constexpr int64_t kCents = 100;

absl::Status NoMoney(absl::string_view text) {
  return absl::InvalidArgumentError(
      absl::StrCat(Quoted(text), " is no sum of money: write it as 12.50"));
}

}  // namespace

absl::StatusOr<int64_t> ParseMoney(absl::string_view text, absl::string_view currency) {
  const std::string tidy = Tidy(text);
  absl::string_view rest = tidy;
  const absl::StatusOr<Number> number = TakeNumber(&rest);
  if (!number.ok()) return NoMoney(text);
  for (const char letter : rest) {
    if (!absl::ascii_isalpha(static_cast<unsigned char>(letter))) return NoMoney(text);
  }
  if (!rest.empty() && !currency.empty() && !absl::EqualsIgnoreCase(rest, currency)) {
    return absl::InvalidArgumentError(absl::StrCat(Quoted(text), " is not in ", currency,
                                                   ", the cellar's currency: write what it came to "
                                                   "in that"));
  }
  if (number->ambiguous_comma) {
    return absl::InvalidArgumentError(absl::StrCat(
        Quoted(text), " may be read in two ways: write thousands without a mark, cents as 12.50"));
  }
  const std::optional<Rounded> cents =
      DivideHalfEven(static_cast<__int128>(number->num) * kCents, number->den);
  if (!cents.has_value() || !cents->exact || cents->value < 0) return NoMoney(text);
  return cents->value;
}

std::string FormatMoney(int64_t cents, absl::string_view currency) {
  return absl::StrCat(PrintRatio(cents, kCents, 2, 2), currency.empty() ? "" : " ", currency);
}

}  // namespace rundlet

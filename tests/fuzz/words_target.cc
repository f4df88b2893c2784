// Amounts, rates, readings, money and times as people type them. The first byte says which; what is
// understood and printed exactly is understood again, and as the same.
#include <string>

#include "absl/strings/str_cat.h"
#include "core/quantity/amount.h"
#include "core/quantity/format.h"
#include "core/quantity/money.h"
#include "core/quantity/number.h"
#include "core/quantity/rate.h"
#include "core/quantity/reading.h"
#include "core/quantity/text.h"
#include "core/quantity/units.h"
#include "core/quantity/when.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {
namespace {

// The text of an error goes to a terminal and into JSON.
absl::Status CheckError(const absl::Status& status, absl::string_view text) {
  if (absl::Status s = Promise(!status.message().empty(), "an error says what is wrong", text);
      !s.ok())
    return s;
  if (absl::Status s = Promise(IsUtf8(status.message()), "an error is UTF-8", text); !s.ok())
    return s;
  return Promise(absl::IsInvalidArgument(status) || absl::IsOutOfRange(status),
                 "no other error than these two", status.ToString());
}

absl::Status TryAmount(absl::string_view text) {
  const auto amount = ParseAmount(text);
  if (!amount.ok()) return CheckError(amount.status(), text);
  if (absl::Status s = Promise(amount->base > 0 && amount->base <= MaxBase(amount->dimension),
                               "an amount lies within its bounds", text);
      !s.ok())
    return s;
  const std::string exact = FormatAmountExact(*amount);
  const auto again = ParseAmount(exact);
  return Promise(again.ok() && again->base == amount->base && again->dimension == amount->dimension,
                 "an amount survives being printed", absl::StrCat(text, " -> ", exact));
}

absl::Status TryRate(absl::string_view text) {
  const auto rate = ParseRate(text);
  if (!rate.ok()) return CheckError(rate.status(), text);
  FormatRate(*rate);
  for (const int64_t volume_ul : {int64_t{1}, int64_t{18'500'000}, MaxBase(Dimension::kVolume)}) {
    const auto amount = rate->Times(volume_ul);
    if (!amount.ok()) continue;
    if (absl::Status s = Promise(amount->base > 0 && amount->base <= MaxBase(amount->dimension),
                                 "what a rate makes lies within its bounds", text);
        !s.ok())
      return s;
  }
  return absl::OkStatus();
}

absl::Status TryReading(ReadingKind kind, absl::string_view text) {
  const auto reading = ParseReading(kind, text);
  if (!reading.ok()) return CheckError(reading.status(), text);
  const std::string printed = FormatReading(reading->value_micro, reading->unit);
  const auto again = ParseReading(reading->kind, printed);
  return Promise(again.ok() && *again == *reading, "a reading survives being printed",
                 absl::StrCat(text, " -> ", printed));
}

absl::Status TryMoney(absl::string_view text) {
  const auto cents = ParseMoney(text, "GBP");
  if (!cents.ok()) return CheckError(cents.status(), text);
  const std::string printed = FormatMoney(*cents, "GBP");
  const auto again = ParseMoney(printed, "GBP");
  return Promise(again.ok() && *again == *cents, "money survives being printed",
                 absl::StrCat(text, " -> ", printed));
}

absl::Status TryWhen(absl::string_view text, const WhenRules& rules) {
  const When now{.at_us = 1'772'443'200'000'000, .utc_offset_min = 60};
  static const absl::TimeZone* const kZone = [] {
    auto* zone = new absl::TimeZone(absl::FixedTimeZone(3600));
    absl::LoadTimeZone("Europe/Berlin", zone);
    return zone;
  }();
  const auto when = ParseWhen(text, now, *kZone, rules);
  if (!when.ok()) return CheckError(when.status(), text);
  constexpr int64_t kMinute = 60'000'000;
  if (absl::Status s = Promise(rules.allow_future || when->at_us <= now.at_us + kMinute,
                               "what happened does not lie ahead", text);
      !s.ok())
    return s;
  const std::string iso = FormatWhenIso(*when);
  const auto again = ParseWhen(iso, now, *kZone, {.allow_future = true});
  return Promise(again.ok() && *again == *when, "a time survives being printed",
                 absl::StrCat(text, " -> ", iso));
}

}  // namespace

absl::Status TryInput(absl::string_view input) {
  if (input.empty()) return absl::OkStatus();
  const absl::string_view text = input.substr(1);
  const char which = input.front();
  if (which >= '0' && which <= '9') return TryReading(static_cast<ReadingKind>(which - '0'), text);
  switch (which) {
    case 'a':
      return TryAmount(text);
    case 'r':
      return TryRate(text);
    case 'm':
      return TryMoney(text);
    case 'w':
      return TryWhen(text, {});
    case 'f':
      return TryWhen(text, {.allow_future = true});
    default:
      return absl::OkStatus();
  }
}

}  // namespace rundlet::testing

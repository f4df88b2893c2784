// Gates and doses in words.
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "core/plans/plan_words.h"
#include "core/quantity/format.h"
#include "core/quantity/rate.h"
#include "core/quantity/reading.h"
#include "core/quantity/reading_units.h"
#include "core/quantity/text.h"
#include "core/view/wire_units.h"

namespace rundlet::plans {
namespace {

using absl::string_view;

constexpr char kAtMost[] = " at most ";
constexpr char kAtLeast[] = " at least ";
constexpr char kAsNeeded[] = "as needed";
constexpr int kMaxReadings = 256;

absl::Status NoGate(string_view text) {
  return absl::InvalidArgumentError(
      absl::StrCat(Quoted(text),
                   " is no condition: write what is measured, a bound and how often, "
                   "such as density at most 0.998, 2 readings 2 days apart"));
}

// "free SO2" or a word that commands take.
absl::StatusOr<ReadingKind> ReadKind(string_view words) {
  for (const ReadingKindInfo& info : AllReadingKinds()) {
    if (absl::EqualsIgnoreCase(info.name, words)) return info.kind;
  }
  return ParseReadingKind(absl::AsciiStrToLower(words));
}

// "2 readings", "2 readings 2 days apart".
absl::Status ReadHowOften(string_view text, v1::StepGate& gate) {
  const std::vector<string_view> words = absl::StrSplit(text, ' ', absl::SkipEmpty());
  int32_t count = 0;
  const bool counted = words.size() >= 2 && absl::SimpleAtoi(words[0], &count) && count >= 1 &&
                       count <= kMaxReadings && (words[1] == "readings" || words[1] == "reading");
  const bool apart = words.size() > 3 && words.back() == "apart";
  if (!counted || (words.size() > 2 && !apart) || (apart && count < 2)) {
    return absl::InvalidArgumentError(absl::StrCat(
        Quoted(text), " does not say how often: write 2 readings, or 2 readings 2 days apart"));
  }
  gate.set_readings(count == 1 ? 0 : count);
  if (!apart) return absl::OkStatus();
  const auto hours = ParseWait(absl::StripSuffix(
      absl::StripLeadingAsciiWhitespace(text.substr(text.find(words[1]) + words[1].size())),
      "apart"));
  if (!hours.ok()) return hours.status();
  gate.set_apart_hours(*hours);
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<v1::StepGate> ParseGate(string_view text) {
  const std::string tidy = Tidy(text);
  const string_view whole = tidy;
  v1::StepGate gate;
  size_t at = whole.find(kAtMost);
  const bool most = at != string_view::npos;
  if (!most) at = whole.find(kAtLeast);
  if (at == string_view::npos) return NoGate(text);
  const auto kind = ReadKind(whole.substr(0, at));
  if (!kind.ok()) return kind.status();
  string_view rest = whole.substr(at + (most ? sizeof(kAtMost) : sizeof(kAtLeast)) - 1);
  // A comma with a space behind it; without one it is a decimal comma.
  const size_t comma = rest.find(", ");
  if (comma != string_view::npos) {
    if (absl::Status status = ReadHowOften(rest.substr(comma + 2), gate); !status.ok())
      return status;
    rest = rest.substr(0, comma);
  }
  const auto bound = ParseReading(*kind, rest);
  if (!bound.ok()) return bound.status();
  gate.set_kind(ToWire(*kind));
  gate.set_unit(ToWire(bound->unit));
  if (most) {
    gate.set_at_most_micro(bound->value_micro);
  } else {
    gate.set_at_least_micro(bound->value_micro);
  }
  return gate;
}

std::string FormatGate(const v1::StepGate& gate) {
  const bool most = gate.bound_case() == v1::StepGate::kAtMostMicro;
  const int64_t bound = most ? gate.at_most_micro() : gate.at_least_micro();
  const std::string value = FormatReading(bound, FromWire(gate.unit()));
  std::string text = absl::StrCat(ReadingKindName(FromWire(gate.kind())), most ? kAtMost : kAtLeast,
                                  absl::StripPrefix(value, "pH "));
  if (gate.readings() > 1) absl::StrAppend(&text, ", ", gate.readings(), " readings");
  if (gate.readings() > 1 && gate.apart_hours() > 0)
    absl::StrAppend(&text, " ", FormatWait(gate.apart_hours()), " apart");
  return text;
}

absl::StatusOr<v1::StepDose> ParseDose(string_view text) {
  const size_t equals = text.rfind('=');
  v1::StepDose dose;
  if (equals != string_view::npos) dose.set_material(Tidy(text.substr(0, equals)));
  if (dose.material().empty()) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text),
                     " is no dose: write the material and how much of it, such as "
                     "white wine yeast = 0.25 g/L"));
  }
  const string_view how_much = text.substr(equals + 1);
  if (absl::AsciiStrToLower(Tidy(how_much)) == kAsNeeded) return dose;
  if (const auto rate = ParseRate(how_much); rate.ok()) {
    dose.set_dimension(ToWire(rate->dimension));
    dose.set_base(rate->num);
    dose.set_per_ul(rate->den);
    return dose;
  }
  const auto amount = ParseAmount(how_much);
  if (!amount.ok()) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(how_much),
                     " is no dose: write a rate for what is in the vessel, such as 0.25 g/L, "
                     "an amount for the whole of it, such as 5 g, or as needed"));
  }
  dose.set_dimension(ToWire(amount->dimension));
  dose.set_base(amount->base);
  return dose;
}

std::string FormatDose(const v1::StepDose& dose) {
  if (dose.base() == 0) return kAsNeeded;
  v1::Amount wire;
  wire.set_dimension(dose.dimension());
  wire.set_base(dose.base());
  const Amount amount = FromWire(wire);
  if (dose.per_ul() == 0) {
    const std::string rounded = FormatAmount(amount);
    const auto again = ParseAmount(rounded);
    return again.ok() && again->base == amount.base ? rounded : FormatAmountExact(amount);
  }
  const Rate rate{.dimension = amount.dimension, .num = dose.base(), .den = dose.per_ul()};
  const std::string rounded = FormatRate(rate);
  if (const auto again = ParseRate(rounded); again.ok() && *again == rate) return rounded;
  return absl::StrCat(FormatAmountExact(amount), "/", FormatVolumeExact(dose.per_ul()));
}

std::string ReadingCommandWord(v1::ReadingKind kind) {
  for (const ReadingKindInfo& info : AllReadingKinds()) {
    if (info.kind == FromWire(kind)) return std::string(info.words.substr(0, info.words.find(' ')));
  }
  return "density";
}

}  // namespace rundlet::plans

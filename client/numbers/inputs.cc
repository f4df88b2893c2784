#include "client/numbers/inputs.h"

#include <algorithm>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/oenology/acids.h"
#include "core/quantity/amount.h"
#include "core/quantity/number.h"
#include "core/quantity/rate.h"
#include "core/quantity/reading.h"
#include "core/quantity/text.h"

namespace rundlet::client {
namespace {

constexpr double kMicro = 1e-6;

std::string Key(const Input& input) {
  absl::string_view name = input.name;
  while (!name.empty() && name.front() == '-') name.remove_prefix(1);
  return std::string(name);
}

// A number, then one of the units, each with its factor; the first may go unsaid.
using UnitFactors = std::initializer_list<std::pair<absl::string_view, double>>;

absl::StatusOr<double> ReadWithUnit(const std::string& text, UnitFactors units) {
  const std::string tidy = Tidy(text);
  absl::string_view rest = tidy;
  const auto number = TakeNumber(&rest);
  if (!number.ok()) return number.status();
  const double value = static_cast<double>(number->num) / static_cast<double>(number->den);
  const std::string unit = absl::AsciiStrToLower(absl::StripAsciiWhitespace(rest));
  if (unit.empty()) return value;
  std::vector<std::string> known;
  for (const auto& [name, factor] : units) {
    if (unit == absl::AsciiStrToLower(name)) return value * factor;
    known.emplace_back(name);
  }
  return absl::InvalidArgumentError(
      absl::StrCat(Quoted(rest), " is not a unit that fits: write ",
                   known.empty() ? "the number alone" : absl::StrJoin(known, ", ")));
}

absl::StatusOr<double> ReadReading(ReadingKind kind, const std::string& text) {
  const auto reading = ParseReading(kind, text);
  if (!reading.ok()) return reading.status();
  const bool fahrenheit = reading->unit == ReadingUnit::kFahrenheit;
  return static_cast<double>(fahrenheit ? CelsiusOfFahrenheit(reading->value_micro)
                                        : reading->value_micro) *
         kMicro;
}

absl::StatusOr<double> ReadAcidity(const std::string& text) {
  const auto reading = ParseReading(ReadingKind::kTitratableAcidity, text);
  if (!reading.ok()) return reading.status();
  const double value = static_cast<double>(reading->value_micro) * kMicro;
  using oenology::Acid;
  const Acid as = reading->unit == ReadingUnit::kGPerLSulfuric ? Acid::kSulfuric
                  : reading->unit == ReadingUnit::kGPerLMalic  ? Acid::kMalic
                                                               : Acid::kTartaric;
  return oenology::ConvertAcidity(value, as, Acid::kTartaric);
}

// A bare number is on the scale itself; with its unit, any scale is taken.
absl::StatusOr<double> ReadOnScale(const std::string& text, oenology::Scale scale) {
  if (const auto bare = ReadWithUnit(text, {}); bare.ok()) return bare;
  const auto reading = ReadScale(text);
  if (!reading.ok()) return reading.status();
  if (reading->scale == scale) return reading->value;
  const auto density = oenology::DensityFrom(reading->scale, reading->value);
  if (!density.ok()) return density.status();
  return oenology::ReadingOf(scale, *density);
}

// "mass", "volume" or "count" where a unit was written.
std::string MeasureOf(const std::string& text) {
  if (ReadWithUnit(text, {}).ok()) return "";
  const auto amount = ParseAmount(text);
  return amount.ok() ? std::string(DimensionName(amount->dimension)) : "";
}

absl::StatusOr<double> ReadDose(const std::string& text) {
  if (const auto bare = ReadWithUnit(text, {}); bare.ok()) return bare;
  const auto amount = ParseAmount(text);
  if (!amount.ok()) return amount.status();
  const double base = static_cast<double>(amount->base);
  return amount->dimension == Dimension::kMass     ? base * 1e-6
         : amount->dimension == Dimension::kVolume ? base * 1e-3
                                                   : base;
}

absl::StatusOr<double> ReadGravity(const std::string& text) {
  const auto reading = ReadScale(text);
  if (!reading.ok()) return reading.status();
  if (reading->scale == oenology::Scale::kGravity) return reading->value;
  const auto density = oenology::DensityFrom(reading->scale, reading->value);
  if (!density.ok()) return density.status();
  return oenology::ReadingOf(oenology::Scale::kGravity, *density);
}

template <typename Parse>
absl::StatusOr<double> ReadAmount(const std::string& text, Parse parse, double factor) {
  const auto base = parse(text);
  if (!base.ok()) return base.status();
  return static_cast<double>(*base) * factor;
}

}  // namespace

absl::StatusOr<ScaleReading> ReadScale(const std::string& text) {
  using oenology::Scale;
  const auto reading = ParseReading(ReadingKind::kDensity, text);
  if (!reading.ok()) return reading.status();
  const double value = static_cast<double>(reading->value_micro) * kMicro;
  switch (reading->unit) {
    case ReadingUnit::kKgPerM3:
      return ScaleReading{Scale::kDensity, value};
    case ReadingUnit::kGPerMl:
      return ScaleReading{Scale::kDensity, value * 1000};
    case ReadingUnit::kBrix:
      return ScaleReading{Scale::kBrix, value};
    case ReadingUnit::kPlato:
      return ScaleReading{Scale::kPlato, value};
    case ReadingUnit::kBaume:
      return ScaleReading{Scale::kBaume, value};
    case ReadingUnit::kOechsle:
      return ScaleReading{Scale::kOechsle, value};
    default:
      return ScaleReading{Scale::kGravity, value};
  }
}

absl::StatusOr<double> ReadInput(InputKind kind, const std::string& text) {
  switch (kind) {
    case InputKind::kGravity:
      return ReadGravity(text);
    case InputKind::kTemperature:
      return ReadReading(ReadingKind::kTemperature, text);
    case InputKind::kPh:
      return ReadReading(ReadingKind::kPh, text);
    case InputKind::kMgPerL:
      return ReadWithUnit(text, {{"mg/L", 1}, {"ppm", 1}, {"g/hL", 10}, {"g/L", 1000}});
    case InputKind::kGPerL:
      return ReadWithUnit(text, {{"g/L", 1}, {"mg/L", 0.001}, {"g/hL", 0.01}});
    case InputKind::kAcidity:
      return ReadAcidity(text);
    case InputKind::kPercent:
      return ReadWithUnit(text, {{"%", 1}, {"%vol", 1}, {"% vol", 1}, {"% by weight", 1}});
    case InputKind::kVolumeL:
      return ReadAmount(text, ParseVolume, 1e-6);
    case InputKind::kVolumeMl:
      return ReadAmount(text, ParseVolume, 1e-3);
    case InputKind::kMassG:
      return ReadAmount(text, ParseMass, 1e-6);
    case InputKind::kDose:
      return ReadDose(text);
    case InputKind::kBrix:
      return ReadOnScale(text, oenology::Scale::kBrix);
    case InputKind::kDensityKgM3:
      return ReadOnScale(text, oenology::Scale::kDensity);
    case InputKind::kLengthCm:
      return ReadWithUnit(text, {{"cm", 1}, {"mm", 0.1}, {"m", 100}, {"in", 2.54}});
    case InputKind::kRoomM3:
      return ReadWithUnit(text, {{"m3", 1}, {"L", 0.001}});
    default:
      return ReadWithUnit(text, {});
  }
}

double Values::operator[](const std::string& name) const { return Or(name, 0); }

std::optional<double> Values::Find(const std::string& name) const {
  const auto found = numbers_.find(name);
  return found == numbers_.end() ? std::nullopt : std::make_optional(found->second);
}

double Values::Or(const std::string& name, double otherwise) const {
  return Find(name).value_or(otherwise);
}

ScaleReading Values::Scale(const std::string& name) const {
  const auto scale = scales_.find(name);
  return {scale == scales_.end() ? oenology::Scale::kGravity : scale->second, (*this)[name]};
}

std::string Values::Word(const std::string& name) const {
  const auto found = words_.find(name);
  return found == words_.end() ? "" : found->second;
}

void InputWords::Declare(CLI::App& app) {
  for (const Input& input : inputs_) {
    CLI::Option* option = app.add_option_function<std::string>(
        input.name, [this, key = Key(input)](const std::string& text) { texts_[key] = text; },
        input.about);
    if (input.required) option->required();
    if (input.kind == InputKind::kWord) {
      option->type_name(absl::StrJoin(input.choices, "|"));
    } else if (input.kind != InputKind::kText) {
      option->type_name("VALUE");
    }
  }
}

absl::Status InputWords::Read(Values& values) const {
  for (const Input& input : inputs_) {
    const std::string key = Key(input);
    const auto said = texts_.find(key);
    if (said == texts_.end()) continue;
    const std::string& text = said->second;
    absl::Status status;
    if (input.kind == InputKind::kText) {
      values.words_[key] = text;
    } else if (input.kind == InputKind::kWord) {
      const std::string word = absl::AsciiStrToLower(text);
      if (std::find(input.choices.begin(), input.choices.end(), word) == input.choices.end()) {
        status = absl::InvalidArgumentError(
            absl::StrCat(Quoted(text), " is none of ", absl::StrJoin(input.choices, ", ")));
      }
      values.words_[key] = word;
    } else if (input.kind == InputKind::kScale) {
      const auto reading = ReadScale(text);
      status = reading.status();
      if (reading.ok()) {
        values.numbers_[key] = reading->value;
        values.scales_[key] = reading->scale;
      }
    } else {
      const auto number = ReadInput(input.kind, text);
      status = number.status();
      if (number.ok()) values.numbers_[key] = *number;
      if (input.kind == InputKind::kDose) values.words_[key] = MeasureOf(text);
    }
    if (!status.ok())
      return absl::Status(status.code(), absl::StrCat(input.name, ": ", status.message()));
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client

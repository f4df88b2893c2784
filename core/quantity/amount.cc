#include "core/quantity/amount.h"

#include <optional>
#include <string>

#include "absl/strings/str_cat.h"
#include "core/quantity/format.h"
#include "core/quantity/rounding.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

struct Written {
  Number number;
  const Unit* unit = nullptr;  // null where none was written
};

absl::StatusOr<Written> Read(absl::string_view text) {
  const std::string tidy = Tidy(text);
  if (tidy.empty()) {
    return absl::InvalidArgumentError("an amount is missing: write one, such as 18.5 L or 20 g");
  }
  absl::string_view rest = tidy;
  absl::StatusOr<Number> number = TakeNumber(&rest);
  if (!number.ok()) return number.status();
  Written written{*number};
  if (!rest.empty()) {
    const absl::StatusOr<const Unit*> unit = FindUnit(rest);
    if (!unit.ok()) return unit.status();
    written.unit = *unit;
  }
  return written;
}

absl::Status NoUnit(absl::string_view text, Dimension wanted) {
  return absl::InvalidArgumentError(absl::StrCat(
      Quoted(text), " has no unit: write a ", DimensionName(wanted), " in ", UnitExamples(wanted)));
}

absl::Status WrongDimension(absl::string_view text, const Unit& unit, Dimension wanted) {
  std::string message =
      absl::StrCat(Quoted(text), " is a ", DimensionName(unit.dimension), ", but a ",
                   DimensionName(wanted), " is wanted here: write it in ", UnitExamples(wanted));
  if (unit.name == "oz" && wanted == Dimension::kVolume) {
    absl::StrAppend(&message, "; a fluid ounce is written \"fl oz\"");
  }
  return absl::InvalidArgumentError(message);
}

absl::StatusOr<int64_t> ParseOnly(absl::string_view text, Dimension wanted) {
  const absl::StatusOr<Written> written = Read(text);
  if (!written.ok()) return written.status();
  const Unit* unit = written->unit;
  if (unit == nullptr && wanted == Dimension::kCount) unit = &UnitNamed("pcs");
  if (unit == nullptr) return NoUnit(text, wanted);
  if (unit->dimension != wanted) return WrongDimension(text, *unit, wanted);
  const absl::StatusOr<Amount> amount = AmountOf(written->number, *unit, text);
  if (!amount.ok()) return amount.status();
  return amount->base;
}

}  // namespace

int64_t MaxBase(Dimension dimension) {
  return dimension == Dimension::kCount ? 1'000'000'000 : 1'000'000'000'000'000;
}

absl::Status CheckWritten(const Number& number, absl::string_view text) {
  if (number.ambiguous_comma) {
    return absl::InvalidArgumentError(absl::StrCat(
        Quoted(text), " can be read in two ways: write ", PrintRatio(number.num, number.den, 0, 3),
        " or ", PrintRatio(__int128{number.num} * 1000, number.den, 0, 0)));
  }
  if (number.num > 0) return absl::OkStatus();
  return absl::InvalidArgumentError(
      number.num == 0 ? absl::StrCat(Quoted(text), " is nothing: write an amount greater than zero")
                      : absl::StrCat(Quoted(text),
                                     " is less than nothing: write the amount without a minus, "
                                     "and record what went the other way as such"));
}

absl::StatusOr<Amount> AmountOf(const Number& number, const Unit& unit, absl::string_view text) {
  if (absl::Status written = CheckWritten(number, text); !written.ok()) return written;

  const std::optional<Rounded> base =
      DivideHalfEven(__int128{number.num} * unit.num, __int128{number.den} * unit.den);
  if (!base.has_value() || base->value > MaxBase(unit.dimension)) {
    return absl::OutOfRangeError(
        absl::StrCat(Quoted(text), " is more than one entry can hold (",
                     FormatAmount({unit.dimension, MaxBase(unit.dimension)}),
                     "): check the number and the unit"));
  }
  if (unit.dimension == Dimension::kCount && !base->exact) {
    return absl::InvalidArgumentError(
        absl::StrCat(Quoted(text),
                     " is not a whole number of pieces: write a whole number, or a "
                     "unit of volume or weight"));
  }
  if (base->value == 0) {
    return absl::OutOfRangeError(absl::StrCat(Quoted(text),
                                              " is less than the book can hold: the least is 1 ",
                                              BaseUnitName(unit.dimension)));
  }
  return Amount{unit.dimension, base->value, base->exact};
}

absl::StatusOr<Amount> ParseAmount(absl::string_view text) {
  const absl::StatusOr<Written> written = Read(text);
  if (!written.ok()) return written.status();
  if (written->unit != nullptr) return AmountOf(written->number, *written->unit, text);
  if (written->number.num % written->number.den != 0) {
    return absl::InvalidArgumentError(absl::StrCat(
        Quoted(text), " has no unit: write one such as ", UnitExamples(Dimension::kVolume), "; ",
        UnitExamples(Dimension::kMass), ". Only whole pieces need none"));
  }
  return AmountOf(written->number, UnitNamed("pcs"), text);
}

absl::StatusOr<int64_t> ParseVolume(absl::string_view text) {
  return ParseOnly(text, Dimension::kVolume);
}

absl::StatusOr<int64_t> ParseMass(absl::string_view text) {
  return ParseOnly(text, Dimension::kMass);
}

absl::StatusOr<int64_t> ParseCount(absl::string_view text) {
  return ParseOnly(text, Dimension::kCount);
}

}  // namespace rundlet

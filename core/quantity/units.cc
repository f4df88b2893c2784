#include "core/quantity/units.h"

#include <cstdlib>
#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "core/quantity/text.h"

namespace rundlet {
namespace {

constexpr absl::string_view kSi =
    "BIPM, The International System of Units, 9th ed., tables 7 and 8";
constexpr absl::string_view kUs = "NIST Handbook 44, appendix C: 1 gal = 231 in3 = 3.785 411 784 L";
constexpr absl::string_view kUsCooking = "NIST SP 811, appendix B.8: 1/16, 1/256 and 1/768 US gal";
constexpr absl::string_view kImperial =
    "UK Units of Measurement Regulations 1995 (SI 1995/1804), schedule: 1 gal = 4.546 09 L";
constexpr absl::string_view kPound = "NIST Handbook 44, appendix C: 1 lb = 0.453 592 37 kg";
constexpr absl::string_view kPieces = "counted";

constexpr Dimension kV = Dimension::kVolume;
constexpr Dimension kM = Dimension::kMass;
constexpr Dimension kC = Dimension::kCount;

// Aliases in lower case, without spaces or stops; Tidy() has turned both micro signs into u.
constexpr Unit kUnits[] = {
    {"uL", "microlitre microlitres microliter microliters", kV, 1, 1, kSi},
    {"mL", "cm3 cc millilitre millilitres milliliter milliliters", kV, 1'000, 1, kSi},
    {"cL", "centilitre centilitres centiliter centiliters", kV, 10'000, 1, kSi},
    {"dL", "decilitre decilitres deciliter deciliters", kV, 100'000, 1, kSi},
    {"L", "lt ltr dm3 litre litres liter liters", kV, 1'000'000, 1, kSi},
    {"hL", "hectolitre hectolitres hectoliter hectoliters", kV, 100'000'000, 1, kSi},
    {"m3", "cbm", kV, 1'000'000'000, 1, kSi},

    {"gal", "gals gallon gallons usgal usgals usgallon usgallons", kV, 3'785'411'784, 1'000, kUs},
    {"qt", "qts quart quarts usqt usquart usquarts", kV, 946'352'946, 1'000, kUs},
    {"pt", "pts pint pints uspt uspint uspints", kV, 473'176'473, 1'000, kUs},
    {"cup", "cups uscup uscups", kV, 2'365'882'365, 10'000, kUsCooking},
    {"fl oz", "floz fluidounce fluidounces usfloz usfluidounce", kV, 295'735'295'625, 10'000'000,
     kUs},
    {"tbsp", "tbsps tablespoon tablespoons", kV, 1'478'676'478'125, 100'000'000, kUsCooking},
    {"tsp", "tsps teaspoon teaspoons", kV, 492'892'159'375, 100'000'000, kUsCooking},

    {"impgal", "impgals ukgal impgallon impgallons ukgallon imperialgallon imperialgallons", kV,
     4'546'090, 1, kImperial},
    {"impqt", "ukqt impquart impquarts imperialquart imperialquarts", kV, 11'365'225, 10,
     kImperial},
    {"imppt", "ukpt imppint imppints ukpint imperialpint imperialpints", kV, 56'826'125, 100,
     kImperial},
    {"impfloz", "ukfloz imperialfloz imperialfluidounce", kV, 284'130'625, 10'000, kImperial},

    {"ug", "mcg microgram micrograms microgramme microgrammes", kM, 1, 1, kSi},
    {"mg", "milligram milligrams milligramme milligrammes", kM, 1'000, 1, kSi},
    {"g", "gm gms gram grams gramme grammes", kM, 1'000'000, 1, kSi},
    {"dag", "dekagram dekagrams decagram decagrams", kM, 10'000'000, 1, kSi},
    {"kg", "kgs kilo kilos kilogram kilograms kilogramme kilogrammes", kM, 1'000'000'000, 1, kSi},
    {"t", "tonne tonnes", kM, 1'000'000'000'000, 1, kSi},
    {"lb", "lbs pound pounds", kM, 453'592'370, 1, kPound},
    {"oz", "ozs ounce ounces", kM, 28'349'523'125, 1'000, kPound},
    {"grain", "grains", kM, 6'479'891, 100, kPound},

    {"pcs",
     "pc piece pieces ea each bottle bottles btl btls cork corks tablet tablets tab tabs "
     "packet packets pkt pkts sachet sachets unit units",
     kC, 1, 1, kPieces},
    {"dozen", "doz dz", kC, 12, 1, kPieces},
};

// Spellings that name different amounts in different hands.
struct Refusal {
  absl::string_view spelling;  // "T" in this case only, the others in any
  absl::string_view advice;
};
constexpr Refusal kRefusals[] = {
    {"T", "is a tablespoon to some and a tonne to others: write tbsp or t"},
    {"gr", "is a gram to some and a grain to others: write g or grain"},
    {"ton", "is 907, 1000 or 1016 kg: write t (1000 kg), kg or lb"},
    {"tons", "is 907, 1000 or 1016 kg: write t (1000 kg), kg or lb"},
    {"case", "holds 6 or 12 bottles: write the number of bottles"},
    {"cases", "holds 6 or 12 bottles: write the number of bottles"},
    {"barrel", "differs from cooper to cooper: write L or gal"},
    {"barrels", "differs from cooper to cooper: write L or gal"},
    {"bbl", "differs from cooper to cooper: write L or gal"},
};

bool Spells(const Unit& unit, absl::string_view folded) {
  if (absl::EqualsIgnoreCase(unit.name, folded)) return true;
  for (const absl::string_view alias : absl::StrSplit(unit.aliases, ' ')) {
    if (alias == folded) return true;
  }
  return false;
}

}  // namespace

absl::Span<const Unit> AllUnits() { return kUnits; }

absl::StatusOr<const Unit*> FindUnit(absl::string_view written) {
  const std::string bare = absl::StrReplaceAll(Tidy(written), {{" ", ""}, {".", ""}});
  const std::string folded = absl::AsciiStrToLower(bare);
  for (const Refusal& refusal : kRefusals) {
    if (bare == refusal.spelling || folded == refusal.spelling) {
      return absl::InvalidArgumentError(absl::StrCat(Quoted(written), " ", refusal.advice));
    }
  }
  for (const Unit& unit : kUnits) {
    if (Spells(unit, folded)) return &unit;
  }
  return absl::InvalidArgumentError(
      absl::StrCat(Quoted(written), " is not a unit known here: write one such as ",
                   UnitExamples(kV), "; ", UnitExamples(kM), "; or pcs"));
}

const Unit& UnitNamed(absl::string_view name) {
  for (const Unit& unit : kUnits) {
    if (unit.name == name) return unit;
  }
  std::abort();
}

absl::string_view BaseUnitName(Dimension dimension) {
  switch (dimension) {
    case Dimension::kVolume:
      return "uL";
    case Dimension::kMass:
      return "ug";
    case Dimension::kCount:
      return "pcs";
  }
  std::abort();
}

absl::string_view DimensionName(Dimension dimension) {
  switch (dimension) {
    case Dimension::kVolume:
      return "volume";
    case Dimension::kMass:
      return "weight";
    case Dimension::kCount:
      return "count";
  }
  std::abort();
}

absl::string_view UnitExamples(Dimension dimension) {
  switch (dimension) {
    case Dimension::kVolume:
      return "mL, L, hL or gal";
    case Dimension::kMass:
      return "mg, g, kg, oz or lb";
    case Dimension::kCount:
      return "pcs or dozen";
  }
  std::abort();
}

}  // namespace rundlet

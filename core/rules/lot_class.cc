#include "core/rules/lot_class.h"

#include <string>

#include "absl/strings/ascii.h"
#include "absl/strings/str_split.h"

namespace rundlet::rules {
namespace {

template <typename T>
struct Word {
  absl::string_view word;
  T means;
};

constexpr Word<v1::Colour> kColours[] = {
    {"red", v1::COLOUR_RED},      {"rosso", v1::COLOUR_RED},    {"rouge", v1::COLOUR_RED},
    {"tinto", v1::COLOUR_RED},    {"rose", v1::COLOUR_ROSE},    {"ros\u00e9", v1::COLOUR_ROSE},
    {"rosado", v1::COLOUR_ROSE},  {"rosato", v1::COLOUR_ROSE},  {"pink", v1::COLOUR_ROSE},
    {"white", v1::COLOUR_WHITE},  {"blanc", v1::COLOUR_WHITE},  {"bianco", v1::COLOUR_WHITE},
    {"blanco", v1::COLOUR_WHITE}, {"orange", v1::COLOUR_WHITE},
};
constexpr Word<v1::Style> kStyles[] = {
    {"still", v1::STYLE_STILL},
    {"sparkling", v1::STYLE_SPARKLING},
    {"fortified", v1::STYLE_FORTIFIED},
};
constexpr Word<v1::Fruit> kFruits[] = {
    {"grape", v1::FRUIT_GRAPE}, {"pome", v1::FRUIT_POME},           {"citrus", v1::FRUIT_CITRUS},
    {"other", v1::FRUIT_OTHER}, {"vegetable", v1::FRUIT_VEGETABLE}, {"honey", v1::FRUIT_HONEY},
};

// By whole words: "rosso" is red, and "bored" is not.
template <typename T, size_t n>
std::optional<T> Said(const Word<T> (&words)[n], absl::string_view text) {
  const std::string lower = absl::AsciiStrToLower(text);
  for (const absl::string_view part : absl::StrSplit(lower, absl::ByAnyChar(" -/,"))) {
    for (const Word<T>& known : words) {
      if (part == known.word) return known.means;
    }
  }
  return std::nullopt;
}

}  // namespace

WineClass ClassOfLot(const rundlet::v1::Lot& lot) {
  WineClass wine;
  wine.colour = Said(kColours, lot.colour());
  wine.style = Said(kStyles, lot.style()).value_or(v1::STYLE_STILL);
  wine.fruit = Said(kFruits, lot.fruit()).value_or(v1::FRUIT_GRAPE);
  wine.stage = v1::STAGE_WINE;
  wine.scheme = lot.organic() ? v1::SCHEME_ORGANIC : v1::SCHEME_CONVENTIONAL;
  return wine;
}

bool IsForHome(const rundlet::v1::Lot& lot) {
  return absl::AsciiStrToLower(lot.made_for()) == "home";
}

}  // namespace rundlet::rules

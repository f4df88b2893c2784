#include "core/oenology/caution.h"

namespace rundlet::oenology {
namespace {

struct Texts {
  absl::string_view text;
  absl::string_view more;
};

Texts TextsOf(Caution caution) {
  switch (caution) {
    case Caution::kSulfurDioxide:
      return {
          "Sulfite gives off sulfur dioxide: work in moving air, keep it from eyes and lungs; it "
          "can bring on asthma.",
          "Never mix it with strong acid in a closed room, never lean over the vessel. People "
          "with asthma should leave this to others, and must be told that the wine contains it."};
    case Caution::kAcid:
      return {
          "Strong acid burns skin and eyes: goggles and gloves; acid into water, never water "
          "into acid.",
          "Its dust hurts the lungs. Rinse a splash with much water for a long time and see a "
          "doctor about the eyes."};
    case Caution::kAlkali:
      return {
          "Carbonates foam in wine, and their dust irritates eyes: goggles, a little at a time, "
          "with headspace.",
          "The gas that foams off is carbon dioxide: air the room. Stir slowly and wait before "
          "the next spoonful."};
    case Caution::kLye:
      return {
          "The base burns skin and eyes, thin as it is: goggles and gloves, and never by mouth "
          "into the pipette.",
          "Never mix lye with acid outside the titration or with other cleaners. Rinse a splash "
          "with much water and see a doctor about the eyes."};
    case Caution::kCarbonDioxide:
      return {
          "Fermenting wine gives off carbon dioxide, which gathers low, cannot be smelt and "
          "kills: air the room before you go in, and never go in alone.",
          "A candle is no safe test: a meter is. Never climb into a vessel that held fermenting "
          "wine. The limits for workplaces are those of your local code."};
    case Caution::kPressure:
      return {
          "Wine with sugar left can ferment again in the bottle, and the bottle bursts: be sure "
          "that it is stable.",
          "Never look over a closed vessel that works. Wear goggles near bottles that may be "
          "under pressure, and cool them before you open one."};
    case Caution::kHotGlass:
      return {"Hot water cracks glass: let it cool before it meets a glass vessel.",
              "Lift full glass vessels with two people, never by the neck."};
    case Caution::kAllergen:
      return {
          "This can make people with an allergy ill, and may have to stand on the label: tell "
          "your tasters.",
          "Egg, milk, fish, crustaceans, cereals and sulfite are the usual ones. Your authority "
          "says which of them must be stated."};
    case Caution::kFlammable:
      return {"Strong spirit burns: no flame, no spark, moving air.",
              "Its vapour creeps along the floor. Local codes may ask for a licence to keep it."};
    case Caution::kCopper:
      return {
          "Copper is poisonous in small amounts: weigh it, never guess, and measure what is "
          "left.",
          "Dilute it first, and keep it from drains and children. Try it on a sample before."};
    case Caution::kLegalCeiling:
      return {"A legal limit is a ceiling, not a dose. Check with your authority.",
              "The figures here are not legal advice; laws change, and yours may be stricter."};
  }
  return {"", ""};
}

}  // namespace

absl::string_view CautionText(Caution caution) { return TextsOf(caution).text; }
absl::string_view CautionMore(Caution caution) { return TextsOf(caution).more; }

}  // namespace rundlet::oenology

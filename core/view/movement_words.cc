#include "core/view/movement_words.h"

#include "absl/strings/str_cat.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

std::string PlaceWord(const Fold& fold, Place place) {
  switch (place.kind()) {
    case Place::Kind::kOutside:
      return std::string(AccountWord(place.account()));
    case Place::Kind::kStock:
      return "store";
    default:
      return NameOf(fold, place.handle());
  }
}

}  // namespace

MovementWords WordsOf(const Fold& fold, const Movement& m) {
  const CommodityInfo& what = fold.commodities().info(m.commodity);
  const bool wine = what.kind == CommodityInfo::Kind::kWine;
  const bool material = what.kind == CommodityInfo::Kind::kMaterial;
  MovementWords words{.what = wine ? "wine" : NameOf(fold, what.handle),
                      .amount = {},
                      .from = PlaceWord(fold, m.from),
                      .to = PlaceWord(fold, m.to)};
  if (wine) {
    words.amount = FormatAmountOf(v1::DIMENSION_VOLUME, m.amount);
  } else if (material) {
    words.amount = FormatAmountOf(static_cast<v1::Dimension>(what.measure), m.amount);
  } else {
    words.amount =
        absl::StrCat(m.amount, " x ", FormatAmountOf(v1::DIMENSION_VOLUME, what.measure));
  }
  if (m.to_parcel != kNone && (material || m.to == Place::Outside(v1::ACCOUNT_GLASS)))
    words.to = NameOf(fold, fold.state().parcels()[m.to_parcel].place);
  return words;
}

}  // namespace rundlet

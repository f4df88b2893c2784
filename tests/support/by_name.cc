#include "tests/support/by_name.h"

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"

namespace rundlet::testing {
namespace {

std::string CommodityText(const Fold& fold, Commodity commodity) {
  const CommodityInfo& info = fold.commodities().info(commodity);
  if (info.kind == CommodityInfo::Kind::kWine) return "wine";
  const std::string name = fold.directory().NameOf(info.handle, fold.sequence());
  return info.kind == CommodityInfo::Kind::kBottles ? absl::StrCat("bottles ", name) : name;
}

std::string PlaceText(const Fold& fold, Place place) {
  switch (place.kind()) {
    case Place::Kind::kOutside:
      return absl::AsciiStrToLower(
          absl::StripPrefix(v1::Account_Name(place.account()), "ACCOUNT_"));
    case Place::Kind::kStock:
      return "stock";
    default:
      return fold.directory().NameOf(place.handle(), fold.sequence());
  }
}

int64_t BalanceOf(const Fold& fold, Place place, const CommodityInfo& what) {
  for (const Balance& balance : fold.state().balances()) {
    if (balance.place == place && fold.commodities().info(balance.commodity) == what) {
      return balance.amount;
    }
  }
  return 0;
}

}  // namespace

Handle HandleOf(const Fold& fold, absl::string_view name) {
  return fold.interner().Find(IdOf(name));
}

int64_t VolumeIn(const Fold& fold, absl::string_view vessel) {
  return fold.state().holding(HandleOf(fold, vessel)).volume_ul;
}

std::string LotIn(const Fold& fold, absl::string_view vessel) {
  return fold.directory().NameOf(fold.state().holding(HandleOf(fold, vessel)).lot, fold.sequence());
}

int64_t OriginIn(const Fold& fold, absl::string_view vessel, const WrittenEntry& entry) {
  const RowId row = RowOf(fold, entry);
  int64_t volume_ul = 0;
  for (const Share& share : fold.state().origins(fold.state().holding(HandleOf(fold, vessel)))) {
    if (fold.state().parcels()[share.of].row == row) volume_ul += share.amount;
  }
  return volume_ul;
}

int64_t DoseIn(const Fold& fold, absl::string_view vessel, absl::string_view material,
               v1::Dimension dimension) {
  const CommodityInfo wanted{CommodityInfo::Kind::kMaterial, HandleOf(fold, material), dimension};
  for (const Share& share : fold.state().doses(fold.state().holding(HandleOf(fold, vessel)))) {
    if (fold.commodities().info(share.of) == wanted) return share.amount;
  }
  return 0;
}

int64_t StockOf(const Fold& fold, absl::string_view material_lot, v1::Dimension dimension) {
  return BalanceOf(fold, Place::Stock(),
                   {CommodityInfo::Kind::kMaterial, HandleOf(fold, material_lot), dimension});
}

int64_t BottlesIn(const Fold& fold, absl::string_view bin, absl::string_view bottling,
                  int64_t size_ul) {
  return BalanceOf(fold, Place::Bin(HandleOf(fold, bin)),
                   {CommodityInfo::Kind::kBottles, HandleOf(fold, bottling), size_ul});
}

std::vector<std::string> FactsIn(const Fold& fold, absl::string_view vessel) {
  static constexpr const char* kTypes[] = {"reading", "treatment", "observation", "bin count",
                                           "stock count"};
  std::vector<std::string> texts;
  const auto& facts = fold.state().facts();
  for (FactId fact = fold.state().holding(HandleOf(fold, vessel)).facts; fact != kNone;
       fact = facts[fact].previous) {
    texts.push_back(absl::StrCat(kTypes[static_cast<int>(facts[fact].type)], " ", facts[fact].kind,
                                 " = ", facts[fact].value));
  }
  return texts;
}

std::vector<std::string> MovesOf(const Fold& fold, const WrittenEntry& entry) {
  std::vector<std::string> texts;
  for (const Movement& m : fold.MovementsAt(PositionOf(fold, entry))) {
    texts.push_back(absl::StrCat(m.amount, " ", CommodityText(fold, m.commodity), " ",
                                 PlaceText(fold, m.from), " > ", PlaceText(fold, m.to)));
  }
  return texts;
}

RowId RowOf(const Fold& fold, const WrittenEntry& entry) {
  return fold.sequence().Find(EntryId(entry.entry));
}

Uuid TakenBy(const Fold& fold, const WrittenEntry& entry) {
  const Held* held = fold.HeldAt(PositionOf(fold, entry));
  return held == nullptr || held->taken_by == kNone ? Uuid()
                                                    : fold.sequence().row(held->taken_by).id;
}

size_t PositionOf(const Fold& fold, const WrittenEntry& entry) {
  return fold.sequence().PositionOf(RowOf(fold, entry));
}

std::string HeldText(const Fold& fold, const WrittenEntry& entry) {
  const Held* held = fold.HeldAt(PositionOf(fold, entry));
  if (held == nullptr) return "";
  std::string text(absl::StripPrefix(v1::HeldReason_Name(held->reason), "HELD_REASON_"));
  if (held->subject != kNoHandle) {
    absl::StrAppend(&text, " ", fold.directory().NameOf(held->subject, fold.sequence()));
  }
  absl::StrAppend(&text, " needs ", held->needed, " there ", held->there);
  if (held->taken_by != kNone) {
    const auto* kind =
        v1::Entry::descriptor()->FindFieldByNumber(fold.sequence().row(held->taken_by).body);
    absl::StrAppend(&text, " taken by ", kind->name());
  }
  return text;
}

}  // namespace rundlet::testing

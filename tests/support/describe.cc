#include "tests/support/describe.h"

#include <map>
#include <set>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"

namespace rundlet::testing {
namespace {

std::string IdText(const Fold& fold, Handle handle) {
  return handle == kNoHandle ? "-" : fold.interner().id(handle).ToString();
}

std::string RowText(const Fold& fold, RowId row) {
  return row == kNone ? "-" : fold.sequence().row(row).id.ToString();
}

std::string OriginsText(const Fold& fold, absl::Span<const Share> origins) {
  std::string text;
  for (const Share& share : origins) {
    absl::StrAppend(&text, " ", share.amount, "<", DescribeParcel(fold, share.of));
  }
  return text;
}

std::string DosesText(const Fold& fold, absl::Span<const Share> doses) {
  std::map<std::string, int64_t> sorted;
  for (const Share& share : doses) sorted[DescribeCommodity(fold, share.of)] += share.amount;
  std::string text;
  for (const auto& [what, amount] : sorted) absl::StrAppend(&text, " ", amount, "*", what);
  return text;
}

std::string FactText(const Fold& fold, const Fact& fact) {
  const bool count = IsCount(fact.type);
  return absl::StrCat("fact ", static_cast<int>(fact.type), " of ", IdText(fold, fact.subject), " ",
                      count ? DescribeCommodity(fold, fact.kind) : absl::StrCat(fact.kind), "/",
                      fact.unit, " = ", fact.value, " in ", DescribeParcel(fold, fact.parcel));
}

std::string HeldText(const Fold& fold, const Held& held) {
  return absl::StrCat("held ", static_cast<int>(held.reason), " on ", IdText(fold, held.subject),
                      " needs ", held.needed, " there ", held.there, " taken by ",
                      RowText(fold, held.taken_by));
}

}  // namespace

std::string DescribeParcel(const Fold& fold, ParcelId parcel) {
  if (parcel == kNone) return "-";
  const Parcel& p = fold.state().parcels()[parcel];
  return absl::StrCat(RowText(fold, p.row), "#", p.ordinal);
}

std::string DescribeCommodity(const Fold& fold, Commodity commodity) {
  const CommodityInfo& info = fold.commodities().info(commodity);
  switch (info.kind) {
    case CommodityInfo::Kind::kWine:
      return "wine";
    case CommodityInfo::Kind::kMaterial:
      return absl::StrCat("material ", IdText(fold, info.handle), " by ", info.measure);
    case CommodityInfo::Kind::kBottles:
      return absl::StrCat("bottles ", IdText(fold, info.handle), " of ", info.measure);
  }
  return "?";
}

std::string DescribePlace(const Fold& fold, Place place) {
  switch (place.kind()) {
    case Place::Kind::kOutside:
      return absl::StrCat("outside ", static_cast<int>(place.account()));
    case Place::Kind::kVessel:
      return absl::StrCat("vessel ", IdText(fold, place.handle()));
    case Place::Kind::kBin:
      return absl::StrCat("bin ", IdText(fold, place.handle()));
    case Place::Kind::kStock:
      return "stock";
  }
  return "?";
}

std::string DescribePosition(const Fold& fold, size_t position) {
  const RowId id = fold.sequence().at(position);
  const Row& row = fold.sequence().row(id);
  std::string text = absl::StrCat("standing ", static_cast<int>(row.standing), " named by ",
                                  RowText(fold, row.voided_by), "\n");
  if (const RowId stop = fold.stopped_at();
      stop != kNone && position >= fold.sequence().PositionOf(stop)) {
    return absl::StrCat(text, "not folded\n");
  }
  if (const Held* held = fold.HeldAt(position); held != nullptr) {
    absl::StrAppend(&text, HeldText(fold, *held), "\n");
  }
  for (const Parcel& p : fold.ParcelsAt(position)) {
    absl::StrAppend(&text, "parcel #", p.ordinal, " ", p.volume_ul, " from ", p.origin, " at ",
                    IdText(fold, p.place), " lot ", IdText(fold, p.lot), " of",
                    OriginsText(fold, fold.state().origins(p)), " with",
                    DosesText(fold, fold.state().doses(p)), "\n");
  }
  for (const Movement& m : fold.MovementsAt(position)) {
    absl::StrAppend(&text, "move ", m.amount, " ", DescribeCommodity(fold, m.commodity), " from ",
                    DescribePlace(fold, m.from), " ", DescribeParcel(fold, m.from_parcel), " to ",
                    DescribePlace(fold, m.to), " ", DescribeParcel(fold, m.to_parcel), " by ",
                    RowText(fold, m.row), "\n");
  }
  for (const Fact& fact : fold.FactsAt(position)) {
    absl::StrAppend(&text, FactText(fold, fact), "\n");
  }
  return text;
}

std::string DescribeVessel(const Fold& fold, Handle vessel) {
  const State& state = fold.state();
  const Holding& h = state.holding(vessel);
  if (h.volume_ul == 0 && h.dose_count == 0) return "";
  std::string text = absl::StrCat(
      h.volume_ul, " of ", DescribeParcel(fold, h.parcel), " lot ", IdText(fold, h.lot), " since ",
      RowText(fold, h.since), " last drawn by ", RowText(fold, h.last_draw), " of",
      OriginsText(fold, state.origins(h)), " with", DosesText(fold, state.doses(h)), "\n");
  for (FactId fact = h.facts; fact != kNone; fact = state.facts()[fact].previous) {
    absl::StrAppend(&text, FactText(fold, state.facts()[fact]), " by ",
                    RowText(fold, state.facts()[fact].row), "\n");
  }
  return text;
}

std::string DescribeBalance(const Fold& fold, uint32_t index) {
  const Balance& balance = fold.state().balances()[index];
  if (balance.amount == 0) return "";
  return absl::StrCat(balance.amount, " ", DescribeCommodity(fold, balance.commodity), " in ",
                      DescribePlace(fold, balance.place), " last out by ",
                      RowText(fold, balance.last_out), "\n");
}

std::string DescribeThing(const Fold& fold, Handle thing) {
  if (thing == kNoHandle) {
    return absl::StrCat("settings ",
                        absl::CHexEscape(fold.directory().settings().SerializeAsString()), "\n");
  }
  const Directory::Known* known = fold.directory().Find(thing);
  if (known == nullptr) return "";
  return absl::StrCat(known->retired ? "retired " : "", "thing ",
                      absl::CHexEscape(known->thing.SerializeAsString()), "\n");
}

std::string DescribeAll(const Fold& fold) {
  std::string text = DescribeThing(fold, kNoHandle);
  std::map<std::string, std::string> by_id;
  for (Handle handle = 1; handle < fold.interner().size(); ++handle) {
    const std::string what =
        absl::StrCat(DescribeThing(fold, handle), DescribeVessel(fold, handle));
    if (!what.empty()) by_id[IdText(fold, handle)] = what;
  }
  for (const auto& [id, what] : by_id) absl::StrAppend(&text, id, " ", what);
  std::set<std::string> balances;
  for (uint32_t i = 0; i < fold.state().balances().size(); ++i) {
    balances.insert(DescribeBalance(fold, i));
  }
  for (const std::string& balance : balances) absl::StrAppend(&text, balance);
  for (size_t i = 0; i < fold.sequence().size(); ++i) {
    absl::StrAppend(&text, RowText(fold, fold.sequence().at(i)), ": ", DescribePosition(fold, i));
  }
  absl::StrAppend(&text, "tolerance ", fold.state().tolerance().ppm, " ",
                  fold.state().tolerance().ul, "\n");
  return text;
}

}  // namespace rundlet::testing

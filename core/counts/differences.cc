#include "core/counts/differences.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <tuple>

#include "absl/strings/str_cat.h"
#include "core/counts/occasion.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::counts {
namespace {

using Kind = Difference::Kind;

Kind KindOf(const Fold& fold, const Fact& fact) {
  switch (fact.type) {
    case FactType::kVolumeCount:
      return Kind::kVessel;
    case FactType::kStockCount:
      return Kind::kPacket;
    default:
      return IsOccasion(fold, fact.subject) ? Kind::kOccasion : Kind::kBin;
  }
}

// What the count itself said: the act keeps it.
int64_t CountedBy(const Fold& fold, const Fact& fact) {
  const Row& row = fold.sequence().row(fact.row);
  for (const Line& line : fold.sequence().lines(row)) {
    const bool of_it =
        line.role == Role::kVolume ||
        ((line.role == Role::kBottles || line.role == Role::kMaterial) && line.other == fact.kind);
    if (of_it) return line.amount;
  }
  return 0;
}

bool IsAdopted(const Fold& fold, RowId row) {
  const Row& entry = fold.sequence().row(row);
  return FindLine(fold.sequence().lines(entry), Role::kAdopted) != nullptr;
}

}  // namespace

std::vector<Difference> OpenDifferences(const Fold& fold) {
  // Facts are in fold order: the last of each place and thing stays. A gauging that the book
  // followed is no fact of this kind; it settles what was noted before it.
  std::map<std::pair<Handle, Commodity>, FactId> last;
  for (FactId id = 0; id < fold.state().facts().size(); ++id) {
    const Fact& fact = fold.state().facts()[id];
    if (IsCount(fact.type)) last[{fact.subject, fact.kind}] = id;
  }
  std::map<Handle, size_t> gauged;  // the position of the last gauging that the book followed
  for (size_t i = 0; i < fold.sequence().size(); ++i) {
    const Row& row = fold.sequence().row(fold.sequence().at(i));
    if (row.kind == ActKind::kGauge && row.standing == Row::Standing::kCounts &&
        fold.HeldAt(i) == nullptr)
      gauged[fold.sequence().lines(row)[0].handle] = i;
  }
  std::vector<Difference> open;
  for (const auto& [key, id] : last) {
    const Fact& fact = fold.state().facts()[id];
    if (fact.value == 0 || IsAdopted(fold, fact.row)) continue;
    const auto settled = gauged.find(fact.subject);
    if (fact.type == FactType::kVolumeCount && settled != gauged.end() &&
        settled->second > fold.sequence().PositionOf(fact.row))
      continue;
    const int64_t counted = CountedBy(fold, fact);
    open.push_back({.kind = KindOf(fold, fact),
                    .place = fact.subject,
                    .commodity = fact.kind,
                    .counted = counted,
                    .book = counted - fact.value,
                    .row = fact.row});
  }
  for (const Occasion& occasion : Occasions(fold)) {
    if (occasion.closed == kNone) continue;
    for (const OccasionLine& line : occasion.lines) {
      if (line.left == 0) continue;
      std::erase_if(open, [&](const Difference& d) {
        return d.place == occasion.bin && d.commodity == line.commodity;
      });
      open.push_back({.kind = Kind::kOccasion,
                      .place = occasion.bin,
                      .commodity = line.commodity,
                      .counted = 0,
                      .book = line.left,
                      .row = occasion.closed});
    }
  }
  std::sort(open.begin(), open.end(), [&](const Difference& a, const Difference& b) {
    const auto key = [&](const Difference& d) {
      return std::make_tuple(d.kind, NameOf(fold, d.place), WhatText(fold, d),
                             fold.interner().id(d.place),
                             fold.interner().id(fold.commodities().info(d.commodity).handle));
    };
    return key(a) < key(b);
  });
  return open;
}

std::string WhatText(const Fold& fold, const Difference& difference) {
  const CommodityInfo& info = fold.commodities().info(difference.commodity);
  switch (info.kind) {
    case CommodityInfo::Kind::kWine:
      return "wine";
    case CommodityInfo::Kind::kBottles:
      return absl::StrCat(NameOf(fold, info.handle), ", ", FormatVolume(info.measure));
    default:
      return NameOf(fold, info.handle);
  }
}

std::string OffText(const Fold& fold, const Difference& difference) {
  const CommodityInfo& info = fold.commodities().info(difference.commodity);
  const int64_t size = std::abs(difference.off());
  std::string amount;
  switch (info.kind) {
    case CommodityInfo::Kind::kWine:
      amount = FormatVolume(size);
      break;
    case CommodityInfo::Kind::kBottles:
      amount = absl::StrCat(size, size == 1 ? " bottle" : " bottles");
      break;
    default:
      amount = FormatAmountOf(static_cast<v1::Dimension>(info.measure), size);
  }
  return absl::StrCat(amount, difference.off() > 0 ? " more" : " less", " than the book");
}

}  // namespace rundlet::counts

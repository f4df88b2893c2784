#include "core/counts/occasion.h"

#include <algorithm>
#include <tuple>

#include "core/view/names.h"

namespace rundlet::counts {
namespace {

// By name of the run, then by size, then by id where two runs have one name.
auto SortKey(const Fold& fold, Commodity commodity) {
  const CommodityInfo& info = fold.commodities().info(commodity);
  return std::make_tuple(fold.directory().NameOf(info.handle, fold.sequence()), info.measure,
                         fold.interner().id(info.handle));
}

RowId ClosedBy(const Fold& fold, Handle bin) {
  RowId closed = kNone;
  const std::string id = fold.interner().id(bin).ToBytes();
  for (const auto& [row, record] : fold.records().all()) {
    if (!record.has_occasion_closed() || record.occasion_closed().bin_id() != id ||
        fold.sequence().row(row).standing != Row::Standing::kCounts)
      continue;
    if (closed == kNone || fold.sequence().Before(row, closed)) closed = row;
  }
  return closed;
}

}  // namespace

int64_t Occasion::left() const {
  int64_t sum = 0;
  for (const OccasionLine& line : lines) sum += line.left;
  return sum;
}

bool IsOccasion(const Fold& fold, Handle bin) {
  const Directory::Known* known = fold.directory().Find(bin);
  return known != nullptr && !known->thing.bin().occasion_on().empty();
}

Occasion OccasionOf(const Fold& fold, Handle bin) {
  Occasion occasion{.bin = bin,
                    .on = fold.directory().Find(bin)->thing.bin().occasion_on(),
                    .closed = ClosedBy(fold, bin)};
  std::map<Commodity, OccasionLine> lines;
  const Place here = Place::Bin(bin);
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    if (m.from == m.to || (m.from != here && m.to != here)) continue;
    OccasionLine& line = lines[m.commodity];
    line.commodity = m.commodity;
    if (m.to == here) {
      // What an adopted count found is a difference, not something that was brought.
      if (m.from == Place::Outside(v1::ACCOUNT_COUNTED)) {
        line.out[v1::ACCOUNT_COUNTED] -= m.amount;
      } else {
        line.brought += m.amount;
      }
      line.left += m.amount;
    } else {
      if (m.to.kind() == Place::Kind::kBin) {
        line.back += m.amount;
      } else {
        line.out[m.to.account()] += m.amount;
      }
      line.left -= m.amount;
    }
  }
  for (auto& [commodity, line] : lines) occasion.lines.push_back(std::move(line));
  std::sort(occasion.lines.begin(), occasion.lines.end(),
            [&](const OccasionLine& a, const OccasionLine& b) {
              return SortKey(fold, a.commodity) < SortKey(fold, b.commodity);
            });
  return occasion;
}

std::vector<Occasion> Occasions(const Fold& fold) {
  std::vector<Occasion> occasions;
  for (const Handle bin : ThingsByName(fold, v1::Thing::kBin, true)) {
    if (IsOccasion(fold, bin)) occasions.push_back(OccasionOf(fold, bin));
  }
  std::stable_sort(occasions.begin(), occasions.end(),
                   [](const Occasion& a, const Occasion& b) { return a.on > b.on; });
  return occasions;
}

}  // namespace rundlet::counts

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

namespace {

using Lines = std::map<Commodity, OccasionLine>;

void CountIn(const Movement& m, OccasionLine& line) {
  // What an adopted count found is a difference, not something that was brought.
  if (m.from == Place::Outside(v1::ACCOUNT_COUNTED)) {
    line.out[v1::ACCOUNT_COUNTED] -= m.amount;
  } else {
    line.brought += m.amount;
  }
  line.left += m.amount;
}

void CountOut(const Movement& m, OccasionLine& line) {
  if (m.to.kind() == Place::Kind::kBin) {
    line.back += m.amount;
  } else {
    line.out[m.to.account()] += m.amount;
  }
  line.left -= m.amount;
}

// The lines of some bins, in one pass over all movements.
std::map<Handle, Lines> LinesOf(const Fold& fold, const std::vector<Handle>& bins) {
  std::map<Handle, Lines> lines;
  for (const Handle bin : bins) lines[bin];
  const auto lines_of = [&](Place place) -> Lines* {
    if (place.kind() != Place::Kind::kBin) return nullptr;
    const auto found = lines.find(place.handle());
    return found == lines.end() ? nullptr : &found->second;
  };
  for (size_t i = 0; i < fold.state().movements().size(); ++i) {
    const Movement& m = fold.state().movements()[i];
    if (m.from == m.to) continue;
    if (Lines* to = lines_of(m.to)) CountIn(m, (*to)[m.commodity]);
    if (Lines* from = lines_of(m.from)) CountOut(m, (*from)[m.commodity]);
  }
  return lines;
}

Occasion MakeOccasion(const Fold& fold, Handle bin, Lines lines) {
  Occasion occasion{.bin = bin,
                    .on = fold.directory().Find(bin)->thing.bin().occasion_on(),
                    .closed = ClosedBy(fold, bin)};
  for (auto& [commodity, line] : lines) {
    line.commodity = commodity;
    occasion.lines.push_back(std::move(line));
  }
  std::sort(occasion.lines.begin(), occasion.lines.end(),
            [&](const OccasionLine& a, const OccasionLine& b) {
              return SortKey(fold, a.commodity) < SortKey(fold, b.commodity);
            });
  return occasion;
}

}  // namespace

Occasion OccasionOf(const Fold& fold, Handle bin) {
  return MakeOccasion(fold, bin, std::move(LinesOf(fold, {bin})[bin]));
}

std::vector<Occasion> Occasions(const Fold& fold) {
  std::vector<Handle> bins = ThingsByName(fold, v1::Thing::kBin, true);
  std::erase_if(bins, [&](Handle bin) { return !IsOccasion(fold, bin); });
  if (bins.empty()) return {};
  std::map<Handle, Lines> lines = LinesOf(fold, bins);
  std::vector<Occasion> occasions;
  for (const Handle bin : bins) occasions.push_back(MakeOccasion(fold, bin, std::move(lines[bin])));
  std::stable_sort(occasions.begin(), occasions.end(),
                   [](const Occasion& a, const Occasion& b) { return a.on > b.on; });
  return occasions;
}

}  // namespace rundlet::counts

#include "core/reports/inventory.h"

#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

#include "core/reports/names.h"
#include "core/reports/running.h"

namespace rundlet::reports {
namespace {

struct Line {
  int rank = 0;  // vessels, bins, opened bottles, packets
  std::string place, what, lot, code;
  Cell amount, content;
};

Line LineOfVessel(const Fold& fold, const Running& running, Handle vessel) {
  return {.rank = 0,
          .place = NameOf(fold, vessel),
          .what = "wine",
          .lot = NameOf(fold, running.LotIn(vessel)),
          .amount = Cell::Volume(running.In(vessel).volume_ul)};
}

Line LineOfBalance(const Fold& fold, Place place, Commodity commodity, int64_t amount) {
  const CommodityInfo& info = fold.commodities().info(commodity);
  if (info.kind == CommodityInfo::Kind::kMaterial) {
    const PacketWords words = WordsOfPacket(fold, info.handle);
    return {.rank = 3,
            .place = words.packet,
            .what = words.material,
            .code = words.supplier_lot,
            .amount = Cell::Amount(static_cast<v1::Dimension>(info.measure), amount)};
  }
  const bool in_bin = place.kind() == Place::Kind::kBin;
  return {.rank = in_bin ? 1 : 2,
          .place = in_bin ? NameOf(fold, place.handle()) : "opened",
          .what = NameOf(fold, info.handle),
          .lot = NameOf(fold, LotOfBottling(fold, info.handle)),
          .code = LotCodeOf(fold, info.handle),
          .amount = Cell::Count(amount),
          .content = Cell::Volume(info.measure)};
}

std::vector<Line> LinesAt(const Fold& fold, int64_t before_us) {
  Running running(fold);
  const Log<Movement>& movements = fold.state().movements();
  for (size_t i = 0; i < movements.size(); ++i) {
    if (fold.sequence().row(movements[i].row).effective_at_us >= before_us) break;
    running.Take(movements[i]);
  }
  std::vector<Line> lines;
  for (Handle vessel = 0; vessel < running.vessels().size(); ++vessel) {
    if (running.In(vessel).volume_ul != 0) lines.push_back(LineOfVessel(fold, running, vessel));
  }
  for (const auto& [key, amount] : running.balances()) {
    if (amount != 0) lines.push_back(LineOfBalance(fold, key.first, key.second, amount));
  }
  std::sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) {
    return std::tie(a.rank, a.place, a.what, a.lot, a.code, a.content.base, a.amount.base) <
           std::tie(b.rank, b.place, b.what, b.lot, b.code, b.content.base, b.amount.base);
  });
  return lines;
}

}  // namespace

void TellInventory(const Fold& fold, int64_t before_us, Sink& sink) {
  static constexpr const char* kRanks[] = {"vessel", "bin", "opened", "packet"};
  sink.Begin("inventory", {{"kind", "Where"},
                           {"place", "Name"},
                           {"what", "What"},
                           {"lot", "Lot"},
                           {"code", "Code"},
                           {"size", "Size", true},
                           {"amount", "Amount", true}});
  for (const Line& line : LinesAt(fold, before_us)) {
    sink.Row({Cell::Text(kRanks[line.rank]), Cell::Text(line.place), Cell::Text(line.what),
              Cell::Text(line.lot), Cell::Text(line.code), line.content, line.amount});
  }
}

}  // namespace rundlet::reports

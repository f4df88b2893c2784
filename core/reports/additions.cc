#include "core/reports/additions.h"

#include <numeric>

#include "core/quantity/format.h"
#include "core/reports/names.h"
#include "core/reports/running.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::reports {
namespace {

// "50 mg/L"; nothing where there was no wine.
std::string RateText(v1::Dimension dimension, int64_t base, int64_t volume_ul) {
  if (base <= 0 || volume_ul <= 0) return "";
  const int64_t common = std::gcd(base, volume_ul);
  v1::Amount amount;
  amount.set_dimension(dimension);
  return FormatRate(
      {.dimension = FromWire(amount).dimension, .num = base / common, .den = volume_ul / common});
}

class Teller {
 public:
  Teller(const Fold& fold, Sink& sink) : fold_(fold), running_(fold), sink_(sink) {}

  // Takes the entry at a position, and tells its additions where asked.
  void Take(size_t position, bool tell) {
    const Row& row = fold_.sequence().row(fold_.sequence().at(position));
    const absl::Span<const Movement> movements = fold_.MovementsAt(position);
    const auto lines = fold_.sequence().lines(row);
    const bool adds = tell && row.kind == ActKind::kAdd && !movements.empty();
    const int64_t before_ul = adds ? running_.In(lines[0].handle).volume_ul : 0;
    for (const Movement& movement : movements) running_.Take(movement);
    if (!adds) return;
    for (const Line& line : lines.subspan(1)) Tell(row, lines[0].handle, before_ul, line);
  }

 private:
  void Tell(const Row& row, Handle vessel, int64_t before_ul, const Line& line) {
    const auto dimension = static_cast<v1::Dimension>(fold_.commodities().info(line.other).measure);
    const PacketWords words = WordsOfPacket(fold_, line.handle);
    sink_.Row({Cell::Moment(WhenOf(row)), Cell::Text(NameOf(fold_, vessel)),
               Cell::Text(NameOf(fold_, running_.LotIn(vessel))), Cell::Text(words.material),
               Cell::Text(words.packet), Cell::Text(words.supplier), Cell::Text(words.supplier_lot),
               Cell::Amount(dimension, line.amount), Cell::Volume(before_ul),
               Cell::Text(RateText(dimension, line.amount, before_ul)),
               Cell::Text(NameOf(fold_, row.author)), Cell::Text(ShortId(row.id))});
  }

  const Fold& fold_;
  Running running_;
  Sink& sink_;
};

}  // namespace

void TellAdditions(const Fold& fold, const Period& period, Sink& sink) {
  sink.Begin("additions", {{"at", "When"},
                           {"vessel", "Vessel"},
                           {"lot", "Lot"},
                           {"material", "Material"},
                           {"packet", "Packet"},
                           {"supplier", "Supplier"},
                           {"supplier_lot", "Supplier's code"},
                           {"amount", "Amount", true},
                           {"treated", "Wine treated", true},
                           {"rate", "Rate", true},
                           {"who", "Who"},
                           {"entry", "Entry"}});
  Teller teller(fold, sink);
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const int64_t at_us = fold.sequence().row(fold.sequence().at(position)).effective_at_us;
    if (at_us >= period.before_us) break;
    teller.Take(position, period.Holds(at_us));
  }
}

}  // namespace rundlet::reports

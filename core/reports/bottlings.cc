#include "core/reports/bottlings.h"

#include <map>
#include <optional>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/quantity/reading.h"
#include "core/reports/names.h"
#include "core/rules/wine.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::reports {
namespace {

std::string LatestReadings(const Fold& fold, const rules::Wine& wine) {
  std::map<uint32_t, const rules::WineEvent*> latest;
  for (const rules::WineEvent& event : wine.events) {
    if (event.kind == rules::WineEvent::Kind::kRead) latest[event.of] = &event;
  }
  std::vector<std::string> words;
  for (const auto& [kind, event] : latest) {
    words.push_back(absl::StrCat(
        ReadingWord(static_cast<v1::ReadingKind>(kind)), " ",
        FormatReading(event->value, FromWire(static_cast<v1::ReadingUnit>(event->unit))), " (",
        FormatWhenDay(WhenOf(fold.sequence().row(event->row))), ")"));
  }
  return absl::StrJoin(words, ", ");
}

class Teller {
 public:
  Teller(const Fold& fold, Sink& sink) : fold_(fold), sink_(sink) {}

  void Tell(size_t position) {
    const RowId id = fold_.sequence().at(position);
    const Row& row = fold_.sequence().row(id);
    const auto lines = fold_.sequence().lines(row);
    const rundlet::Line* const run = FindLine(lines, Role::kBottling);
    const absl::Span<const Parcel> parcels = fold_.ParcelsAt(position);
    Handle lot = kNoHandle;
    for (const Parcel& parcel : parcels) {
      if (parcel.place == run->handle) lot = parcel.lot;
    }
    Cell lost = Cell::Volume(LostAt(position));
    const std::string readings = ReadingsAt(run->handle, id);
    for (const rundlet::Line& line : lines) {
      if (line.role != Role::kGlass) continue;
      const int64_t size_ul = fold_.commodities().info(line.other).measure;
      sink_.Row({Cell::Moment(WhenOf(row)), Cell::Text(NameOf(fold_, run->handle)),
                 Cell::Text(NameOf(fold_, lot)), Cell::Text(LotCodeOf(fold_, run->handle)),
                 Cell::Volume(size_ul), Cell::Count(line.amount),
                 Cell::Text(NameOf(fold_, line.handle)),
                 line.amount == 0 ? Cell() : Cell::Volume(line.extra / line.amount),
                 Cell::Volume(line.extra), lost, Cell::Text(readings),
                 Cell::Text(NameOf(fold_, row.author)), Cell::Text(ShortId(row.id))});
      lost = Cell();  // once an entry, so that the column can be added up
    }
  }

 private:
  int64_t LostAt(size_t position) const {
    int64_t lost_ul = 0;
    for (const Movement& m : fold_.MovementsAt(position)) {
      const bool away =
          m.to.kind() == Place::Kind::kOutside && m.to != Place::Outside(v1::ACCOUNT_GLASS);
      if (m.commodity == kWine && away) lost_ul += m.amount;
    }
    return lost_ul;
  }

  // Worked out when the first bottling is met: it costs a pass over everything.
  std::string ReadingsAt(Handle run, RowId row) {
    if (!wines_.has_value()) wines_.emplace(fold_, rules::Reach::kAll);
    const std::vector<rules::Wine> wines = wines_->OfBottling(run);
    std::vector<std::string> words;
    for (const rules::Wine& wine : wines) {
      if (wine.row != row) continue;
      std::string readings = LatestReadings(fold_, wine);
      if (!readings.empty()) words.push_back(std::move(readings));
    }
    return absl::StrJoin(words, "; ");
  }

  const Fold& fold_;
  std::optional<rules::WineIndex> wines_;
  Sink& sink_;
};

}  // namespace

void TellBottlings(const Fold& fold, const Period& period, Sink& sink) {
  sink.Begin("bottlings", {{"at", "When"},
                           {"run", "Run"},
                           {"lot", "Lot"},
                           {"lot_code", "Lot code"},
                           {"size", "Size", true},
                           {"count", "Bottles", true},
                           {"bin", "Bin"},
                           {"fill", "Mean fill", true},
                           {"volume", "Wine", true},
                           {"lost", "Lost", true},
                           {.key = "readings", .heading = "Latest readings", .under = true},
                           {"who", "Who"},
                           {"entry", "Entry"}});
  Teller teller(fold, sink);
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    const Row& row = fold.sequence().row(fold.sequence().at(position));
    if (!period.Holds(row.effective_at_us) || row.kind != ActKind::kTransfer ||
        fold.MovementsAt(position).empty() ||
        FindLine(fold.sequence().lines(row), Role::kBottling) == nullptr)
      continue;
    teller.Tell(position);
  }
}

}  // namespace rundlet::reports

#ifndef RUNDLET_CORE_VIEW_BOARD_H_
#define RUNDLET_CORE_VIEW_BOARD_H_

#include <vector>

#include "core/fold/fold.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

struct BoardOptions {
  bool with_digest = false;  // costs a pass over the whole state
  bool with_retired = false;
};

// The cellar at a glance: vessels by name, bins with bottles, stock that is left.
v1::Board MakeBoard(const Fold& fold, const BoardOptions& options);

v1::VesselLine MakeVesselLine(const Fold& fold, Handle vessel);
// The bottles in a bin, or that stand opened, by run and size.
std::vector<v1::BottleLine> BottlesAt(const Fold& fold, Place place);
v1::BinLine MakeBinLine(const Fold& fold, Handle bin);
v1::StockLine MakeStockLine(const Fold& fold, Handle material_lot);

// The latest reading of each kind of the wine that a vessel holds, also from before it came into
// this vessel.
std::vector<v1::ReadingLine> LatestReadings(const Fold& fold, Handle vessel);

// The parcel's name: "<entry id>/<ordinal>".
std::string ParcelName(const Fold& fold, ParcelId parcel);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_BOARD_H_

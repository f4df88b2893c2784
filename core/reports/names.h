#ifndef RUNDLET_CORE_REPORTS_NAMES_H_
#define RUNDLET_CORE_REPORTS_NAMES_H_

#include <string>

#include "core/fold/fold.h"
#include "core/quantity/when.h"
#include "core/view/names.h"

namespace rundlet::reports {

// When an entry happened, by the clock of whoever wrote it.
When WhenOf(const Row& row);

// What is known of a material, told of its packet where there is one.
struct PacketWords {
  std::string material, packet, supplier, supplier_lot;
};
PacketWords WordsOfPacket(const Fold& fold, Handle material_or_packet);

// Of a bottling run: the code on the label, and the lot that it was registered for.
std::string LotCodeOf(const Fold& fold, Handle bottling);
Handle LotOfBottling(const Fold& fold, Handle bottling);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_NAMES_H_

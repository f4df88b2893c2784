#include "core/reports/names.h"

#include "core/view/names.h"

namespace rundlet::reports {
When WhenOf(const Row& row) {
  return {.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min};
}

PacketWords WordsOfPacket(const Fold& fold, Handle material_or_packet) {
  if (fold.directory().kind(material_or_packet) != v1::Thing::kMaterialLot)
    return {.material = NameOf(fold, material_or_packet)};
  PacketWords words{.packet = NameOf(fold, material_or_packet)};
  if (const Directory::Known* known = fold.directory().Find(material_or_packet)) {
    const v1::MaterialLot& said = known->thing.material_lot();
    words.material = NameOf(fold, HandleOf(fold, said.material_id()));
    words.supplier = said.supplier();
    words.supplier_lot = said.supplier_lot();
  }
  return words;
}

std::string LotCodeOf(const Fold& fold, Handle bottling) {
  const Directory::Known* known = fold.directory().Find(bottling);
  return known == nullptr ? "" : known->thing.bottling().lot_code();
}

Handle LotOfBottling(const Fold& fold, Handle bottling) {
  const Directory::Known* known = fold.directory().Find(bottling);
  return known == nullptr ? kNoHandle : HandleOf(fold, known->thing.bottling().lot_id());
}

}  // namespace rundlet::reports

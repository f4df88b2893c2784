#include "core/view/named.h"

#include "core/view/names.h"

namespace rundlet {

void ForEachNamed(const Fold& fold, RowId row, absl::FunctionRef<void(Handle)> visit) {
  for (const Line& line : fold.sequence().lines(fold.sequence().row(row))) {
    switch (line.role) {
      case Role::kOutflow:
      case Role::kAccount:
      case Role::kMeasure:
      case Role::kTreatment:
      case Role::kTolerance:
      case Role::kVolume:
      case Role::kAdopted:
        continue;  // no thing
      case Role::kGlass:
      case Role::kBottles:
      case Role::kOpened:
        visit(fold.commodities().info(line.other).handle);
        break;
      default:
        break;
    }
    if (line.handle != kNoHandle) visit(line.handle);
  }
}

void ForEachNamed(const Fold& fold, const v1::Thing& thing, absl::FunctionRef<void(Handle)> visit) {
  for (const std::string& id :
       {thing.material_lot().material_id(), thing.bin().inside_id(), thing.bottling().lot_id()}) {
    if (const Handle named = HandleOf(fold, id); named != kNoHandle) visit(named);
  }
}

}  // namespace rundlet

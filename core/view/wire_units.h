#ifndef RUNDLET_CORE_VIEW_WIRE_UNITS_H_
#define RUNDLET_CORE_VIEW_WIRE_UNITS_H_

#include "core/quantity/amount.h"
#include "core/quantity/reading.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Between the words of the wire and those of core/quantity, name by name. What the other side does
// not have becomes unspecified.
v1::ReadingKind ToWire(ReadingKind kind);
v1::ReadingUnit ToWire(ReadingUnit unit);
v1::Dimension ToWire(Dimension dimension);
v1::Amount ToWire(const Amount& amount);
v1::Measurement ToWire(const Reading& reading);

ReadingKind FromWire(v1::ReadingKind kind);
ReadingUnit FromWire(v1::ReadingUnit unit);
Amount FromWire(const v1::Amount& amount);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_WIRE_UNITS_H_

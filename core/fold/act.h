#ifndef RUNDLET_CORE_FOLD_ACT_H_
#define RUNDLET_CORE_FOLD_ACT_H_

#include <cstdint>

#include "absl/container/inlined_vector.h"
#include "absl/types/span.h"
#include "core/fold/ids.h"
#include "core/fold/interner.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Entry kinds are many, acts are few: racking, blending, topping, pressing, sampling and bottling
// all draw from vessels and share out what was drawn. The fold knows acts only.
enum class ActKind : uint8_t {
  kUnknown = 0,  // of a kind or format that this build does not know
  kDirectory,    // registers, changes or retires a thing
  kSettings,
  kVoid,
  kReceive,    // wine from outside into vessels
  kTransfer,   // draws shared out to vessels, bottles and the world outside
  kAdd,        // materials into a vessel
  kGauge,      // the book follows a dip reading
  kGaugeNote,  // a dip reading that is only shown
  kStockIn,
  kStockCount,
  kBottlesMove,
  kBottlesTake,
  kBottlesReturn,
  kBottlesFinish,  // of those that stand opened
  kBottlesEmpty,   // back into vessels
  kBinCount,
  kRead,
  kTreat,
  kObserve,
  kRecord,  // of care, plans, house rules: moves nothing, and is kept as it is (Records)
};

enum class Role : uint8_t {
  kVessel = 1,  // handle: what the act is about (vessel)
  kSubject,     // handle: what was observed (any thing)
  kLot,         // handle
  kBottling,    // handle
  kDraw,        // handle: vessel; amount: microlitres, or all
  kFill,        // handle: vessel; amount: microlitres, or the rest
  kOutflow,     // handle: v1::Account; amount: microlitres, or the rest
  kGlass,      // handle: bin; other: commodity; amount: bottles; extra: microlitres of wine in them
  kMaterial,   // handle: delivery (whole) or material; other: commodity; amount; extra: volume
               // effect in microlitres
  kBottles,    // handle: bin; other: commodity; amount: bottles; extra: their nominal content
  kOpened,     // other: commodity; amount: bottles that stand opened
  kToBin,      // handle: bin
  kAccount,    // handle: v1::Account
  kMeasure,    // handle: v1::ReadingKind; other: v1::ReadingUnit; amount: millionths of the unit
  kTreatment,  // handle: v1::TreatmentKind; amount: minutes
  kGear,       // handle: equipment
  kTolerance,  // amount: millionths, or -1: unsaid; extra: microlitres, or -1
  kVolume,     // amount: microlitres
  kAdopted,    // the book follows the count
  kAbout,      // handle: a thing that a record speaks of, known or not
};

// One line of an act. What the fields mean depends on the role.
struct Line {
  int64_t amount = 0;
  int64_t extra = 0;
  uint32_t handle = 0;
  uint32_t other = 0;
  Role role = Role::kVessel;
  // "All" of a draw, "the rest" of a fill or outflow: `amount` says nothing. A material that has a
  // stock of its own.
  bool whole = false;
  uint8_t padding[6] = {};
};
static_assert(sizeof(Line) == 32);

struct Act {
  ActKind kind = ActKind::kUnknown;
  absl::InlinedVector<Line, 8> lines;
};

// The first line of a role, or nullptr.
inline const Line* FindLine(absl::Span<const Line> lines, Role role) {
  for (const Line& line : lines) {
    if (line.role == role) return &line;
  }
  return nullptr;
}

// Turns a checked entry into its act. Ids that were not met before get a handle; whether they are
// registered is asked when the act is applied.
Act MakeAct(const v1::Entry& entry, Interner& interner, Commodities& commodities);

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_ACT_H_

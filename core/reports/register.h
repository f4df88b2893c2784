#ifndef RUNDLET_CORE_REPORTS_REGISTER_H_
#define RUNDLET_CORE_REPORTS_REGISTER_H_

#include <array>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// The register: what came in and what went out between two moments, and what was there before and
// after; wine in microlitres, bottles in bottles.
//
// Wine belongs to the lot of its parcel at each movement, not to the one that its vessel holds now.
// What passes from one lot (or class, or vessel) to another crosses: it goes out of the one and
// into the other. A delivery of one lot that is poured onto another comes in under its own and
// crosses over. Bottles belong to the lot that their run was filled from; those that stand opened
// are on hand until somebody says what became of them.

enum class RegisterBy { kLot, kClass, kVessel };

inline constexpr size_t kAccounts = v1::Account_ARRAYSIZE;

struct RegisterRow {
  // The lot, the vessel or the bin; kNoHandle for wine without a lot, a class, opened bottles.
  Handle thing = kNoHandle;
  std::string name;
  int64_t size_ul = 0;  // of the bottles; 0: wine
  int64_t opening = 0;
  std::array<int64_t, kAccounts> in = {};   // from outside, by account
  std::array<int64_t, kAccounts> out = {};  // to outside
  int64_t crossed_in = 0;                   // from other rows
  int64_t crossed_out = 0;
  int64_t closing = 0;  // as what is in vessels and bins then, not as a sum of the above

  // What the sums say must be left.
  int64_t Expected() const;
  bool empty() const;
};

struct Register {
  std::vector<RegisterRow> rows;    // by name, wine before bottles; none where nothing was or moved
  std::vector<RegisterRow> totals;  // wine; then bottles of each size
};

// Internal, with the name of the row, where a row does not balance to the microlitre and the
// bottle, or the movements do not lead to what the fold keeps: a fault of this program. Costs one
// pass over all movements.
absl::StatusOr<Register> MakeRegister(const Fold& fold, const Period& period, RegisterBy by);

// As a table, the totals last.
void TellRegister(const Register& made, RegisterBy by, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_REGISTER_H_

#ifndef RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_
#define RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_

#include <string>

#include "absl/functional/function_ref.h"
#include "absl/strings/string_view.h"
#include "core/fold/fold.h"

namespace rundlet {

// Writes all movements in the plain-text double-entry format that general-purpose accounting tools read: one transaction an
// entry, two postings a movement, whole base units (uL, ug, pieces, bottles). `write` is called with pieces of text, in order.
// Places are accounts ("vessel:C1", "outside:lees"); names that the format cannot carry are written by id.
void WriteLedger(const Fold& fold, absl::FunctionRef<void(absl::string_view)> write);

// The balances that such a tool must report: account, commodity and amount of every vessel, bin and stock that is not
// empty, as the fold keeps them - not as the sum of movements.
struct LedgerBalance {
  std::string account;
  std::string commodity;
  int64_t amount;
};
std::vector<LedgerBalance> LedgerBalances(const Fold& fold);

}  // namespace rundlet

#endif  // RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_

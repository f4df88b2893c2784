#ifndef RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_
#define RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_

#include <cstdint>
#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/strings/string_view.h"
#include "core/fold/fold.h"

namespace rundlet {

// Writes all movements in the plain-text double-entry format that general-purpose accounting tools
// read, so that a program which knows nothing of wine can check every balance:
//
//   2024-03-01 (0190163d-8694-739b-aea5-966c26f8ad91) racking
//       vessel:C2  18500000 "wine in uL"
//       vessel:C1  -18500000 "wine in uL"
//
// One transaction an entry that moved something, in fold order, dated by the wall clock of whoever
// wrote it; two postings a movement, the receiving place first. All amounts are whole base units.
// `write` is called with pieces of text, in order.
//
// Accounts are "vessel:", "bin:" and "outside:" with a name behind, and "stock". Commodities are
// "wine in uL", "material lot KMS-7 in ug" (or "in uL", "in pieces"), the same with "material",
// and "bottles Spring run of 750000 uL". A thing is called by its name where that is made of
// letters, digits, single spaces and - _ . + only and nothing else of its kind is called so;
// otherwise by its id.
void WriteLedger(const Fold& fold, absl::FunctionRef<void(absl::string_view)> write);

// The same movements one by one.
struct LedgerMovement {
  const Row& entry;
  absl::string_view kind;  // of the entry: "racking"
  std::string from;        // accounts, as above
  std::string to;
  std::string commodity;
  int64_t amount;
};
void ForEachLedgerMovement(const Fold& fold,
                           absl::FunctionRef<void(const LedgerMovement& movement)> visit);

// The balances that such a tool must report: account, commodity and amount of every vessel, bin and
// stock that is not empty, as the fold keeps them - not as the sum of movements. Sorted by account,
// then by commodity.
struct LedgerBalance {
  std::string account;
  std::string commodity;
  int64_t amount;

  friend bool operator==(const LedgerBalance&, const LedgerBalance&) = default;
};
std::vector<LedgerBalance> LedgerBalances(const Fold& fold);

}  // namespace rundlet

#endif  // RUNDLET_CORE_BOOKS_LEDGER_EXPORT_H_

#ifndef RUNDLET_CORE_REPORTS_RECALL_H_
#define RUNDLET_CORE_REPORTS_RECALL_H_

#include <string>
#include <vector>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "core/lineage/whereabouts.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// What is called back: one packet, material, delivery or lot.
struct Suspect {
  std::string name;   // "KMS-1"
  std::string about;  // "potassium metabisulfite, by Ashcroft, code 77-104"
  Followed followed;
};

// Where all of it is, part by part, for each suspect:
//
//   recalled   what it is, and how much of it went into wine
//   stock      what is left of the packet itself
//   vessel     each vessel that holds some: how much, and to how much wine
//   filled     each bottling session that filled some, by size: bottles, and how much is in each
//   lies       the bottles of those runs, by bin; opened: those that stand opened
//   taken      each time that bottles of them went out: when, how, who, for what; returned: came
//   back emptied    bottles whose wine went back into vessels, where it is followed on missing what
//   adopted counts did not find (found: what they found too much) sum        of a run and size:
//   filled = lies + opened + taken - returned + emptied + missing drawn      wine with some of it
//   that left a vessel otherwise than into glass gone       how much of it is in no wine of the
//   cellar any more, and on no bottle
//
// Bottles of one run and size are one kind to the book: where a run was filled more than once, and
// not each time with some of it, a note says so. `entry_of` reads an entry; its errors are
// returned.
using EntryOfRow = absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)>;
absl::Status TellRecall(const Fold& fold, const std::vector<Suspect>& suspects, EntryOfRow entry_of,
                        Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_RECALL_H_

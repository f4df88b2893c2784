#ifndef RUNDLET_CORE_REPORTS_HOME_H_
#define RUNDLET_CORE_REPORTS_HOME_H_

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "core/fold/fold.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// What each household made in a year, next to what the cellar's jurisdictions say of making wine at
// home.
//
// Made is the juice, must, fruit and concentrate that a member of the household wrote in as
// received, and the volume that their additions brought, before any lees and losses. What was
// found beyond the book (gains) is not counted. Bulk wine was made by somebody else, and lots made
// for sale are not made at home: both are left out. Members of whom no household is said are one
// household together.
//
// `entry_of` reads an entry that received wine; its errors are returned.
absl::Status TellHome(const Fold& fold, const Period& year,
                      absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)> entry_of, Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_HOME_H_

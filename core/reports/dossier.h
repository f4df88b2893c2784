#ifndef RUNDLET_CORE_REPORTS_DOSSIER_H_
#define RUNDLET_CORE_REPORTS_DOSSIER_H_

#include <cstdint>

#include "absl/functional/function_ref.h"
#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "core/base/uuid.h"
#include "core/fold/fold.h"
#include "core/reports/report.h"

namespace rundlet::reports {

// Everything of a lot on one page, part by part: what is said of it, where its wine came from,
// every entry that concerned it in the order in which things happened, where its wine and bottles
// are, and which rules they break at `now_us`.
//
// `entry_of` reads an entry by its id; its errors are returned.
absl::Status TellDossier(const Fold& fold, Handle lot, int64_t now_us,
                         absl::FunctionRef<absl::StatusOr<v1::Entry>(const Uuid&)> entry_of,
                         Sink& sink);

}  // namespace rundlet::reports

#endif  // RUNDLET_CORE_REPORTS_DOSSIER_H_

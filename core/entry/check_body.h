#ifndef RUNDLET_CORE_ENTRY_CHECK_BODY_H_
#define RUNDLET_CORE_ENTRY_CHECK_BODY_H_

#include "absl/status/status.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// What must hold of each kind of entry by itself, whatever the cellar. InvalidArgument names the
// first thing that does not.
absl::Status CheckBody(const v1::Entry& entry);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_CHECK_BODY_H_

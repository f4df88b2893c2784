#ifndef RUNDLET_CORE_ENTRY_CHECK_IDENTITY_H_
#define RUNDLET_CORE_ENTRY_CHECK_IDENTITY_H_

#include "core/entry/check.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// Checks the bodies that say who may write and which part of the past is closed. False for every
// other kind.
bool CheckIdentity(Checker& check, const v1::Entry& entry);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_CHECK_IDENTITY_H_

#ifndef RUNDLET_CORE_ENTRY_CHECK_RECORD_H_
#define RUNDLET_CORE_ENTRY_CHECK_RECORD_H_

#include "core/entry/check.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// What must hold of entries that are kept and move nothing: care, plans, house rules. False if the
// entry is none of them.
bool CheckRecord(Checker& check, const v1::Entry& entry);

// What must hold of the rules that an entry breaks knowingly.
void CheckAnyway(Checker& check, const v1::Anyway& anyway);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_CHECK_RECORD_H_

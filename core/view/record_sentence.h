#ifndef RUNDLET_CORE_VIEW_RECORD_SENTENCE_H_
#define RUNDLET_CORE_VIEW_RECORD_SENTENCE_H_

#include <string>

#include "core/fold/fold.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet {

// What an entry of care, plans or house rules says, in one sentence; empty for all others.
std::string RecordSentence(const Fold& fold, const v1::Entry& entry);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_RECORD_SENTENCE_H_

#ifndef RUNDLET_CORE_ENTRY_NAMED_IDS_H_
#define RUNDLET_CORE_ENTRY_NAMED_IDS_H_

#include "absl/functional/function_ref.h"
#include "core/base/uuid.h"
#include "google/protobuf/message.h"

namespace rundlet {

// Every id that a message names, nested ones included: fields of bytes whose name ends in "_id" or
// "_ids" and that hold 16 bytes. An id that is named twice is visited twice. Whether something of
// that id is registered is another question.
void ForEachNamedId(const google::protobuf::Message& message,
                    absl::FunctionRef<void(const Uuid&)> visit);

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_NAMED_IDS_H_

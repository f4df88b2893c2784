#ifndef RUNDLET_CLIENT_COMMANDS_HANDOVER_RIGHTS_H_
#define RUNDLET_CLIENT_COMMANDS_HANDOVER_RIGHTS_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/cellar.h"
#include "client/commands/handover_file.h"

namespace rundlet::client {

// What is taken over is signed by the device that takes it, and counts by the role of its member.
// Nothing in a handover proves who wrote it. So what only a master may write does not go this way:
// or a hand's file, taken over by a master, would do what the hand may not.

struct LeftOut {
  Handover::Item item;
  std::string why;  // a clause without a full stop, which says what to do
};

// Takes what may not go out of a handover. What a void or an amendment is about is looked up in the
// handover and in the book.
absl::StatusOr<std::vector<LeftOut>> TakeOut(Cellar& cellar, Handover& handover);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_HANDOVER_RIGHTS_H_

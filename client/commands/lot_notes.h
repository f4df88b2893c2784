#ifndef RUNDLET_CLIENT_COMMANDS_LOT_NOTES_H_
#define RUNDLET_CLIENT_COMMANDS_LOT_NOTES_H_

#include "client/cli/planner.h"

namespace rundlet::client {

// Wine has one lot, also where two were poured together. These add a note to the change where the
// words leave open which of them a vessel keeps.

void NoteLotsOfTransfer(const Planner& planner, const v1::Transfer& transfer, Change& change);
void NoteLotsOfDelivery(const Planner& planner, const v1::WineReceived& received, Change& change);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_LOT_NOTES_H_

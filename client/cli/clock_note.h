#ifndef RUNDLET_CLIENT_CLI_CLOCK_NOTE_H_
#define RUNDLET_CLIENT_CLI_CLOCK_NOTE_H_

#include <string>

#include "client/cellar/cellar.h"
#include "core/quantity/when.h"

namespace rundlet::client {

// What there is to say of this device's clock, with both times; empty where nothing speaks against
// it. It is behind where the book, without what was just written, has entries of a later time. It
// is ahead where the server, at the last sync, took in an entry long before the time at which that
// had been written here - unless the clock was set back since. `filed` is the time that the new
// entry gets.
std::string ClockNote(Cellar& cellar, const When& now, const When& filed);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_CLOCK_NOTE_H_

#ifndef RUNDLET_CLIENT_COMMANDS_SHOW_PARTS_H_
#define RUNDLET_CLIENT_COMMANDS_SHOW_PARTS_H_

#include <string>

#include "client/commands/thing.h"

namespace rundlet::client {

// The kind of a registered thing, for listing it.
const ThingKind& KindOf(const Fold& fold, Handle thing);

// What is known of a thing, and what the book has of it: a vessel's content, a lot's vessels and
// bottles, a material's packets ...
std::string TextOfThing(const Fold& fold, Handle thing, size_t width);
std::string JsonOfThing(const Fold& fold, Handle thing);

// One thing of a list as JSON.
std::string JsonOfRow(const ThingKind& kind, const Fold& fold, Handle thing);

// An entry with all that is known of it, also where the server returned it.
std::string TextOfEntry(Cellar& cellar, const StoredEntry& stored, const v1::Entry& entry);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_SHOW_PARTS_H_

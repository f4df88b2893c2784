#ifndef RUNDLET_SERVER_STORE_THING_JSON_H_
#define RUNDLET_SERVER_STORE_THING_JSON_H_

#include <string>

#include "rundlet/v1/things.pb.h"

namespace rundlet::server {

// The name of whichever kind of thing it is; empty where it has none.
std::string ThingName(const v1::Thing& thing);

// What is said of a thing, as a JSON object for people who query the database: the protocol's field
// names, ids in their text form, whole numbers as numbers, enums by their names. U+0000, which
// jsonb cannot hold, becomes U+FFFD.
std::string ThingJson(const v1::Thing& thing);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_THING_JSON_H_

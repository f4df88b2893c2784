#ifndef RUNDLET_CLIENT_CLI_ID_JSON_H_
#define RUNDLET_CLIENT_CLI_ID_JSON_H_

#include <google/protobuf/message.h>

#include <string>

namespace rundlet::client {

// JSON of a message as ProtoJson writes it, but for its bytes: ids are UUIDs as everywhere else,
// other bytes, which are hashes, hexadecimal digits.
std::string JsonWithIds(const google::protobuf::Message& message);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_ID_JSON_H_

#ifndef RUNDLET_CLIENT_CLI_JSON_H_
#define RUNDLET_CLIENT_CLI_JSON_H_

#include <google/protobuf/message.h>

#include <cstdint>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::client {

// JSON (RFC 8259) on one line, fields in the order in which they are added.

std::string JsonText(absl::string_view text);
// `items` are JSON already.
std::string JsonArray(const std::vector<std::string>& items);
std::string JsonTexts(const std::vector<std::string>& texts);

class JsonObject {
 public:
  JsonObject& Text(absl::string_view name, absl::string_view value);
  JsonObject& Number(absl::string_view name, int64_t value);
  JsonObject& Bool(absl::string_view name, bool value);
  // `json` is JSON already.
  JsonObject& Raw(absl::string_view name, absl::string_view json);
  std::string Finish() const { return body_ + "}"; }

 private:
  std::string body_ = "{";
};

// The protobuf JSON of a message: names as in the .proto files, 64-bit numbers as strings, every
// field there.
std::string ProtoJson(const google::protobuf::Message& message);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_JSON_H_

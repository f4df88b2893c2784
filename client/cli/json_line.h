#ifndef RUNDLET_CLIENT_CLI_JSON_LINE_H_
#define RUNDLET_CLIENT_CLI_JSON_LINE_H_

#include <google/protobuf/struct.pb.h>

#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::client {

// A line of a file of JSON lines, as archives and handovers are.
class JsonLine {
 public:
  // InvalidArgument: it is no JSON object.
  static absl::StatusOr<JsonLine> Parse(const std::string& line);

  // A text field; empty if there is none.
  std::string Text(const char* name) const;
  // 0 if there is none.
  double Number(const char* name) const;

 private:
  google::protobuf::Struct object_;
};

// An entry in such a line: "bytes" in base64, whose leaf hash stands as "hash" in hexadecimal.
// InvalidArgument: it is damaged.
absl::StatusOr<std::string> EntryBytes(const JsonLine& line);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_JSON_LINE_H_

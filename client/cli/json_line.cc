#include "client/cli/json_line.h"

#include <google/protobuf/util/json_util.h>

#include "absl/strings/escaping.h"
#include "core/entry/entry.h"

namespace rundlet::client {

absl::StatusOr<JsonLine> JsonLine::Parse(const std::string& line) {
  JsonLine parsed;
  if (!google::protobuf::util::JsonStringToMessage(line, &parsed.object_).ok())
    return absl::InvalidArgumentError("it is damaged: no JSON object");
  return parsed;
}

std::string JsonLine::Text(const char* name) const {
  const auto field = object_.fields().find(name);
  return field == object_.fields().end() ? "" : field->second.string_value();
}

double JsonLine::Number(const char* name) const {
  const auto field = object_.fields().find(name);
  return field == object_.fields().end() ? 0 : field->second.number_value();
}

absl::StatusOr<std::string> EntryBytes(const JsonLine& line) {
  std::string bytes;
  if (!absl::Base64Unescape(line.Text("bytes"), &bytes) || bytes.empty())
    return absl::InvalidArgumentError("it is damaged: no bytes of an entry");
  Sha256 sha;
  if (absl::BytesToHexString(HashBytes(LeafHash(sha, bytes))) != line.Text("hash"))
    return absl::InvalidArgumentError("it is damaged: the bytes do not match their hash");
  return bytes;
}

}  // namespace rundlet::client

#include "client/cli/json.h"

#include <google/protobuf/util/json_util.h>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"

namespace rundlet::client {

std::string JsonText(absl::string_view text) {
  std::string json = "\"";
  for (const char c : text) {
    switch (c) {
      case '"':
        json += "\\\"";
        break;
      case '\\':
        json += "\\\\";
        break;
      case '\n':
        json += "\\n";
        break;
      case '\t':
        json += "\\t";
        break;
      default:
        if (static_cast<unsigned char>(c) < 0x20) {
          absl::StrAppendFormat(&json, "\\u%04x", c);
        } else {
          json += c;
        }
    }
  }
  return json + "\"";
}

std::string JsonArray(const std::vector<std::string>& items) {
  return absl::StrCat("[", absl::StrJoin(items, ","), "]");
}

std::string JsonTexts(const std::vector<std::string>& texts) {
  std::vector<std::string> items;
  items.reserve(texts.size());
  for (const std::string& text : texts) items.push_back(JsonText(text));
  return JsonArray(items);
}

JsonObject& JsonObject::Raw(absl::string_view name, absl::string_view json) {
  absl::StrAppend(&body_, body_.size() > 1 ? "," : "", JsonText(name), ":", json);
  return *this;
}

JsonObject& JsonObject::Text(absl::string_view name, absl::string_view value) {
  return Raw(name, JsonText(value));
}

JsonObject& JsonObject::Number(absl::string_view name, int64_t value) {
  return Raw(name, absl::StrCat(value));
}

JsonObject& JsonObject::Bool(absl::string_view name, bool value) {
  return Raw(name, value ? "true" : "false");
}

std::string ProtoJson(const google::protobuf::Message& message) {
  google::protobuf::util::JsonPrintOptions options;
  options.preserve_proto_field_names = true;
  options.always_print_primitive_fields = true;
  std::string json;
  // It fails only for messages that hold others of unknown type; ours hold none.
  if (!google::protobuf::util::MessageToJsonString(message, &json, options).ok()) return "null";
  return json;
}

}  // namespace rundlet::client

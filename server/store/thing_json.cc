#include "server/store/thing_json.h"

#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "core/base/uuid.h"
#include "google/protobuf/descriptor.h"
#include "google/protobuf/message.h"

namespace rundlet::server {
namespace {

using google::protobuf::FieldDescriptor;
using google::protobuf::Message;

// The message of the kind that is set; nullptr for none.
const Message* KindOf(const v1::Thing& thing) {
  const auto* field = v1::Thing::descriptor()->FindFieldByNumber(thing.kind_case());
  return field == nullptr ? nullptr : &thing.GetReflection()->GetMessage(thing, field);
}

// RFC 8259, section 7.
std::string JsonString(absl::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += {'\\', c};
    } else if (c == '\0') {
      out += "\\ufffd";
    } else if (byte < 0x20) {
      absl::StrAppendFormat(&out, "\\u%04x", byte);
    } else {
      out += c;
    }
  }
  out += '"';
  return out;
}

std::string BytesText(const std::string& bytes) {
  const absl::StatusOr<Uuid> id = Uuid::FromBytes(bytes);
  return id.ok() ? id->ToString() : absl::BytesToHexString(bytes);
}

std::string JsonValue(const Message& message, const FieldDescriptor* field) {
  const auto* reflection = message.GetReflection();
  switch (field->cpp_type()) {
    case FieldDescriptor::CPPTYPE_INT32:
      return absl::StrCat(reflection->GetInt32(message, field));
    case FieldDescriptor::CPPTYPE_INT64:
      return absl::StrCat(reflection->GetInt64(message, field));
    case FieldDescriptor::CPPTYPE_BOOL:
      return reflection->GetBool(message, field) ? "true" : "false";
    case FieldDescriptor::CPPTYPE_ENUM: {
      const auto* value =
          field->enum_type()->FindValueByNumber(reflection->GetEnumValue(message, field));
      return value == nullptr ? "null" : JsonString(value->name());
    }
    case FieldDescriptor::CPPTYPE_STRING: {
      const std::string text = reflection->GetString(message, field);
      return JsonString(field->type() == FieldDescriptor::TYPE_BYTES ? BytesText(text) : text);
    }
    default:
      return "null";
  }
}

}  // namespace

std::string ThingName(const v1::Thing& thing) {
  const Message* kind = KindOf(thing);
  if (kind == nullptr) return "";
  const FieldDescriptor* name = kind->GetDescriptor()->FindFieldByName("name");
  return name == nullptr ? "" : kind->GetReflection()->GetString(*kind, name);
}

std::string ThingJson(const v1::Thing& thing) {
  const Message* kind = KindOf(thing);
  if (kind == nullptr) return "{}";
  std::vector<const FieldDescriptor*> fields;
  kind->GetReflection()->ListFields(*kind, &fields);
  std::string json = "{";
  for (const FieldDescriptor* field : fields) {
    if (json.size() > 1) json += ',';
    absl::StrAppend(&json, JsonString(field->name()), ":", JsonValue(*kind, field));
  }
  json += '}';
  return json;
}

}  // namespace rundlet::server

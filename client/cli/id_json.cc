#include "client/cli/id_json.h"

#include <google/protobuf/descriptor.h>

#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "core/base/uuid.h"

namespace rundlet::client {
namespace {

using google::protobuf::EnumValueDescriptor;
using google::protobuf::FieldDescriptor;
using google::protobuf::Message;
using google::protobuf::Reflection;

std::string BytesText(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? id->ToString() : absl::BytesToHexString(bytes);
}

// The value of a field, of the i-th element where it is repeated.
std::string ValueOf(const Message& message, const FieldDescriptor& field, int i) {
  const Reflection& of = *message.GetReflection();
  const bool many = field.is_repeated();
  std::string scratch;
  switch (field.cpp_type()) {
    case FieldDescriptor::CPPTYPE_INT32:
      return absl::StrCat(many ? of.GetRepeatedInt32(message, &field, i)
                               : of.GetInt32(message, &field));
    case FieldDescriptor::CPPTYPE_UINT32:
      return absl::StrCat(many ? of.GetRepeatedUInt32(message, &field, i)
                               : of.GetUInt32(message, &field));
    // Readers of JSON may not keep all digits of these as numbers.
    case FieldDescriptor::CPPTYPE_INT64:
      return JsonText(absl::StrCat(many ? of.GetRepeatedInt64(message, &field, i)
                                        : of.GetInt64(message, &field)));
    case FieldDescriptor::CPPTYPE_UINT64:
      return JsonText(absl::StrCat(many ? of.GetRepeatedUInt64(message, &field, i)
                                        : of.GetUInt64(message, &field)));
    case FieldDescriptor::CPPTYPE_DOUBLE:
      return absl::StrCat(many ? of.GetRepeatedDouble(message, &field, i)
                               : of.GetDouble(message, &field));
    case FieldDescriptor::CPPTYPE_FLOAT:
      return absl::StrCat(many ? of.GetRepeatedFloat(message, &field, i)
                               : of.GetFloat(message, &field));
    case FieldDescriptor::CPPTYPE_BOOL:
      return (many ? of.GetRepeatedBool(message, &field, i) : of.GetBool(message, &field))
                 ? "true"
                 : "false";
    case FieldDescriptor::CPPTYPE_ENUM: {
      const int number =
          many ? of.GetRepeatedEnumValue(message, &field, i) : of.GetEnumValue(message, &field);
      const EnumValueDescriptor* value = field.enum_type()->FindValueByNumber(number);
      return value == nullptr ? absl::StrCat(number) : JsonText(value->name());
    }
    case FieldDescriptor::CPPTYPE_STRING: {
      const std::string& text = many ? of.GetRepeatedStringReference(message, &field, i, &scratch)
                                     : of.GetStringReference(message, &field, &scratch);
      return JsonText(field.type() == FieldDescriptor::TYPE_BYTES ? BytesText(text) : text);
    }
    case FieldDescriptor::CPPTYPE_MESSAGE:
      return JsonWithIds(many ? of.GetRepeatedMessage(message, &field, i)
                              : of.GetMessage(message, &field));
  }
  return "null";
}

}  // namespace

std::string JsonWithIds(const Message& message) {
  const Reflection& of = *message.GetReflection();
  JsonObject json;
  for (int n = 0; n < message.GetDescriptor()->field_count(); ++n) {
    const FieldDescriptor& field = *message.GetDescriptor()->field(n);
    if (field.is_repeated()) {
      std::vector<std::string> items;
      for (int i = 0; i < of.FieldSize(message, &field); ++i)
        items.push_back(ValueOf(message, field, i));
      json.Raw(field.name(), JsonArray(items));
    } else if (!field.has_presence() || of.HasField(message, &field)) {
      json.Raw(field.name(), ValueOf(message, field, 0));
    }
  }
  return json.Finish();
}

}  // namespace rundlet::client

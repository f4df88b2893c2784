#include "core/entry/named_ids.h"

#include <string>
#include <vector>

#include "absl/strings/match.h"

namespace rundlet {
namespace {

using google::protobuf::FieldDescriptor;
using google::protobuf::Message;
using google::protobuf::Reflection;

bool HoldsIds(const FieldDescriptor& field) {
  return field.type() == FieldDescriptor::TYPE_BYTES &&
         (absl::EndsWith(field.name(), "_id") || absl::EndsWith(field.name(), "_ids"));
}

void Visit(const std::string& bytes, absl::FunctionRef<void(const Uuid&)> visit) {
  if (const auto id = Uuid::FromBytes(bytes); id.ok()) visit(*id);
}

void VisitField(const Message& message, const FieldDescriptor& field,
                absl::FunctionRef<void(const Uuid&)> visit) {
  const Reflection& reflection = *message.GetReflection();
  const int count = field.is_repeated() ? reflection.FieldSize(message, &field) : 1;
  const bool nested = field.cpp_type() == FieldDescriptor::CPPTYPE_MESSAGE;
  if (!nested && !HoldsIds(field)) return;
  std::string scratch;
  for (int i = 0; i < count; ++i) {
    if (nested) {
      ForEachNamedId(field.is_repeated() ? reflection.GetRepeatedMessage(message, &field, i)
                                         : reflection.GetMessage(message, &field),
                     visit);
    } else {
      Visit(field.is_repeated()
                ? reflection.GetRepeatedStringReference(message, &field, i, &scratch)
                : reflection.GetStringReference(message, &field, &scratch),
            visit);
    }
  }
}

}  // namespace

void ForEachNamedId(const Message& message, absl::FunctionRef<void(const Uuid&)> visit) {
  std::vector<const FieldDescriptor*> fields;
  message.GetReflection()->ListFields(message, &fields);
  for (const FieldDescriptor* field : fields) VisitField(message, *field, visit);
}

}  // namespace rundlet

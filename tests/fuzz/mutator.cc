#include "tests/fuzz/mutator.h"

#include <algorithm>

#include "core/entry/limits.h"

namespace rundlet::testing {
namespace {

using google::protobuf::EnumValueDescriptor;
using google::protobuf::FieldDescriptor;
using google::protobuf::Message;
using google::protobuf::Reflection;

int64_t Number(Random& random, int64_t before) {
  static const std::vector<int64_t> kEnds = {0,
                                             1,
                                             2,
                                             -1,
                                             INT64_MAX,
                                             INT64_MIN,
                                             kMaxVolumeUl,
                                             kMaxAmount,
                                             kMaxBottles,
                                             kMinTimeUs,
                                             kMaxTimeUs,
                                             kMaxReadingMicro,
                                             kMaxHeldQuantity};
  switch (random.Below(4)) {
    case 0:
      return random.Pick(kEnds);
    case 1:
      return random.Between(0, 100);
    default:
      // Near to what it was, without leaving the range.
      return std::clamp<int64_t>(before, -kMaxHeldQuantity, kMaxHeldQuantity) +
             random.Between(-3, 3);
  }
}

std::string Bytes(Random& random, const std::vector<std::string>& ids, const std::string& before) {
  switch (random.Below(8)) {
    case 0:
      return "";
    case 1:
      return std::string(16, '\0');
    case 2:
      return before + "x";
    default:
      return ids.empty() ? before : random.Pick(ids);
  }
}

void SetScalar(Random& random, const std::vector<std::string>& ids, Message& message,
               const FieldDescriptor* field) {
  const Reflection* reflection = message.GetReflection();
  switch (field->cpp_type()) {
    case FieldDescriptor::CPPTYPE_INT32:
      reflection->SetInt32(
          &message, field,
          static_cast<int32_t>(Number(random, reflection->GetInt32(message, field))));
      break;
    case FieldDescriptor::CPPTYPE_INT64:
      reflection->SetInt64(&message, field, Number(random, reflection->GetInt64(message, field)));
      break;
    case FieldDescriptor::CPPTYPE_UINT32:
      reflection->SetUInt32(&message, field, static_cast<uint32_t>(random.Below(3)));
      break;
    case FieldDescriptor::CPPTYPE_UINT64:
      reflection->SetUInt64(
          &message, field,
          static_cast<uint64_t>(
              Number(random, static_cast<int64_t>(reflection->GetUInt64(message, field)))));
      break;
    case FieldDescriptor::CPPTYPE_BOOL:
      reflection->SetBool(&message, field, !reflection->GetBool(message, field));
      break;
    case FieldDescriptor::CPPTYPE_ENUM:
      reflection->SetEnumValue(
          &message, field, static_cast<int>(random.Below(field->enum_type()->value_count() + 2)));
      break;
    case FieldDescriptor::CPPTYPE_STRING:
      reflection->SetString(&message, field,
                            field->type() == FieldDescriptor::TYPE_BYTES
                                ? Bytes(random, ids, reflection->GetString(message, field))
                                : random.Pick(std::vector<std::string>{"", "name", "a;b  c"}));
      break;
    default:
      break;
  }
}

void MutateList(Random& random, const std::vector<std::string>& ids, Message& message,
                const FieldDescriptor* field) {
  const Reflection* reflection = message.GetReflection();
  const int size = reflection->FieldSize(message, field);
  const bool of_messages = field->cpp_type() == FieldDescriptor::CPPTYPE_MESSAGE;
  switch (random.Below(4)) {
    case 0:
      if (size > 0) reflection->RemoveLast(&message, field);
      break;
    case 1:
      if (size > 1)
        reflection->SwapElements(&message, field, 0, static_cast<int>(random.Below(size)));
      break;
    case 2:
      if (of_messages && size > 0) {
        Message* added = reflection->AddMessage(&message, field);
        added->CopyFrom(
            reflection->GetRepeatedMessage(message, field, static_cast<int>(random.Below(size))));
        MutateMessage(random, ids, *added);
      } else if (field->type() == FieldDescriptor::TYPE_BYTES && !ids.empty()) {
        reflection->AddString(&message, field, random.Pick(ids));
      }
      break;
    default:
      if (of_messages && size > 0) {
        MutateMessage(random, ids,
                      *reflection->MutableRepeatedMessage(&message, field,
                                                          static_cast<int>(random.Below(size))));
      }
  }
}

}  // namespace

void MutateBytes(Random& random, std::string& bytes) {
  for (int64_t n = random.Between(1, 4); n > 0 && !bytes.empty(); --n) {
    const auto at = static_cast<size_t>(random.Below(static_cast<int64_t>(bytes.size())));
    switch (random.Below(7)) {
      case 0:
      case 1:
        bytes[at] = static_cast<char>(bytes[at] ^ 1 << random.Below(8));
        break;
      case 2:
        bytes[at] = static_cast<char>(random.Next());
        break;
      case 3:
        bytes.insert(at, 1, static_cast<char>(random.Next()));
        break;
      case 4:
        bytes.erase(at, static_cast<size_t>(random.Between(1, 3)));
        break;
      case 5:
        bytes.insert(at, bytes.substr(at, static_cast<size_t>(random.Between(1, 40))));
        break;
      default:
        if (random.Chance(200)) bytes.resize(at);
    }
  }
}

void MutateMessage(Random& random, const std::vector<std::string>& ids, Message& message) {
  const auto* descriptor = message.GetDescriptor();
  if (descriptor->field_count() == 0) return;
  std::vector<const FieldDescriptor*> present;
  message.GetReflection()->ListFields(message, &present);
  // Mostly what is there, now and then what is not, which is another choice of a oneof too.
  const FieldDescriptor* field =
      !present.empty() && random.Chance(850)
          ? random.Pick(present)
          : descriptor->field(static_cast<int>(random.Below(descriptor->field_count())));
  if (field->is_repeated()) {
    MutateList(random, ids, message, field);
  } else if (field->cpp_type() == FieldDescriptor::CPPTYPE_MESSAGE) {
    MutateMessage(random, ids, *message.GetReflection()->MutableMessage(&message, field));
  } else if (random.Chance(50)) {
    message.GetReflection()->ClearField(&message, field);
  } else {
    SetScalar(random, ids, message, field);
  }
}

}  // namespace rundlet::testing

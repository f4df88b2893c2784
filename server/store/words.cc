#include "server/store/words.h"

#include <string>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/strip.h"
#include "google/protobuf/descriptor.h"

namespace rundlet::server {
namespace {

// Enums are small and their numbers dense, so words are found by index.
class Words {
 public:
  Words(const google::protobuf::EnumDescriptor* descriptor, absl::string_view prefix) {
    for (int i = 0; i < descriptor->value_count(); ++i) {
      const auto number = static_cast<size_t>(descriptor->value(i)->number());
      if (number >= words_.size()) words_.resize(number + 1, "unknown");
      words_[number] =
          absl::AsciiStrToLower(absl::StripPrefix(descriptor->value(i)->name(), prefix));
    }
  }

  absl::string_view at(int number) const {
    const bool known = number >= 0 && static_cast<size_t>(number) < words_.size();
    return known ? absl::string_view(words_[static_cast<size_t>(number)]) : "unknown";
  }

 private:
  std::vector<std::string> words_;
};

}  // namespace

absl::string_view WordOf(v1::Account account) {
  static const auto* const words = new Words(v1::Account_descriptor(), "ACCOUNT_");
  return words->at(account);
}

absl::string_view WordOf(v1::Dimension dimension) {
  static const auto* const words = new Words(v1::Dimension_descriptor(), "DIMENSION_");
  return words->at(dimension);
}

absl::string_view WordOf(v1::ReadingKind kind) {
  static const auto* const words = new Words(v1::ReadingKind_descriptor(), "READING_KIND_");
  return words->at(kind);
}

absl::string_view WordOf(v1::ReadingUnit unit) {
  static const auto* const words = new Words(v1::ReadingUnit_descriptor(), "READING_UNIT_");
  return words->at(unit);
}

absl::string_view WordOf(v1::TreatmentKind kind) {
  static const auto* const words = new Words(v1::TreatmentKind_descriptor(), "TREATMENT_KIND_");
  return words->at(kind);
}

absl::string_view WordOf(v1::HeldReason reason) {
  static const auto* const words = new Words(v1::HeldReason_descriptor(), "HELD_REASON_");
  return words->at(reason);
}

absl::string_view WordOf(v1::Thing::KindCase kind) {
  const auto* field = v1::Thing::descriptor()->FindFieldByNumber(kind);
  return field == nullptr ? absl::string_view("unknown") : absl::string_view(field->name());
}

}  // namespace rundlet::server

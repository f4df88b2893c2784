#include "server/store/pg_array.h"

#include "absl/strings/str_replace.h"

namespace rundlet::server {
namespace {

void AppendBig32(uint32_t value, std::string& out) {
  const char bytes[4] = {static_cast<char>(value >> 24), static_cast<char>(value >> 16),
                         static_cast<char>(value >> 8), static_cast<char>(value)};
  out.append(bytes, sizeof(bytes));
}

constexpr uint32_t kNullLength = 0xffffffff;

}  // namespace

absl::string_view PgTypeName(PgType type) {
  switch (type) {
    case PgType::kBool:
      return "boolean";
    case PgType::kBytes:
      return "bytea";
    case PgType::kInt8:
      return "bigint";
    case PgType::kInt2:
      return "smallint";
    case PgType::kInt4:
      return "integer";
    case PgType::kText:
      return "text";
    case PgType::kUuid:
      return "uuid";
  }
  return "";
}

PgArray::PgArray(PgType type) : type_(type) {}

void PgArray::Clear() {
  size_ = 0;
  has_null_ = false;
  elements_.clear();
}

void PgArray::AppendElement(absl::string_view bytes) {
  AppendBig32(static_cast<uint32_t>(bytes.size()), elements_);
  elements_.append(bytes.data(), bytes.size());
  ++size_;
}

void PgArray::AddInt(int64_t value) {
  const auto bits = static_cast<uint64_t>(value);
  char bytes[8];
  for (int i = 0; i < 8; ++i) bytes[i] = static_cast<char>(bits >> (56 - 8 * i));
  const size_t width = type_ == PgType::kInt8 ? 8 : type_ == PgType::kInt4 ? 4 : 2;
  AppendElement(absl::string_view(bytes + 8 - width, width));
}

void PgArray::AddBool(bool value) { AppendElement(value ? "\x01" : absl::string_view("\0", 1)); }

void PgArray::AddUuid(const Uuid& id) { AppendElement(id.bytes()); }

void PgArray::AddUuidOrNull(const Uuid& id) {
  if (id.is_nil()) {
    AddNull();
  } else {
    AddUuid(id);
  }
}

void PgArray::AddText(absl::string_view text) {
  constexpr absl::string_view kNul("\0", 1);
  if (text.find('\0') == absl::string_view::npos) {
    AppendElement(text);
  } else {
    AppendElement(absl::StrReplaceAll(text, {{kNul, "\xef\xbf\xbd"}}));
  }
}

void PgArray::AddBytes(absl::string_view bytes) { AppendElement(bytes); }

void PgArray::AddNull() {
  AppendBig32(kNullLength, elements_);
  has_null_ = true;
  ++size_;
}

pqxx::binarystring PgArray::Parameter() const {
  std::string array;
  array.reserve(20 + elements_.size());
  AppendBig32(size_ == 0 ? 0 : 1, array);  // dimensions
  AppendBig32(has_null_ ? 1 : 0, array);
  AppendBig32(static_cast<uint32_t>(type_), array);
  if (size_ > 0) {
    AppendBig32(static_cast<uint32_t>(size_), array);
    AppendBig32(1, array);  // the first index
    array += elements_;
  }
  return pqxx::binarystring(array.data(), array.size());
}

}  // namespace rundlet::server

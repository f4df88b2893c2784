#include "server/store/pg_value.h"

#include <array>
#include <stdexcept>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

constexpr std::array<int8_t, 256> MakeDigits() {
  std::array<int8_t, 256> digits{};
  for (int8_t& digit : digits) digit = -1;
  for (int i = 0; i < 10; ++i) digits['0' + i] = static_cast<int8_t>(i);
  for (int i = 0; i < 6; ++i) {
    digits['a' + i] = static_cast<int8_t>(10 + i);
    digits['A' + i] = static_cast<int8_t>(10 + i);
  }
  return digits;
}

constexpr std::array<int8_t, 256> kDigits = MakeDigits();

}  // namespace

Uuid UuidFrom(const pqxx::field& field) {
  const absl::StatusOr<Uuid> id = Uuid::Parse(absl::string_view(field.c_str(), field.size()));
  if (!id.ok()) throw std::runtime_error(absl::StrCat(field.name(), " is not an id"));
  return *id;
}

std::string BytesFrom(const pqxx::field& field) {
  const absl::string_view text(field.c_str(), field.size());
  if (text.size() < 2 || text[0] != '\\' || text[1] != 'x' || text.size() % 2 != 0) {
    throw std::runtime_error(absl::StrCat(field.name(), " is not bytea in hexadecimal form"));
  }
  std::string bytes(text.size() / 2 - 1, '\0');
  int bad = 0;
  for (size_t i = 0; i < bytes.size(); ++i) {
    const int high = kDigits[static_cast<unsigned char>(text[2 + 2 * i])];
    const int low = kDigits[static_cast<unsigned char>(text[3 + 2 * i])];
    bad |= high | low;
    bytes[i] = static_cast<char>(high << 4 | low);
  }
  if (bad < 0) throw std::runtime_error(absl::StrCat(field.name(), " is not hexadecimal"));
  return bytes;
}

evidence::PublicKey PublicKeyFrom(const pqxx::field& field) {
  const absl::StatusOr<evidence::PublicKey> key = evidence::PublicKey::FromBytes(BytesFrom(field));
  if (!key.ok()) throw std::runtime_error(absl::StrCat(field.name(), " is not a key"));
  return *key;
}

pqxx::binarystring BytesParameter(absl::string_view bytes) { return {bytes.data(), bytes.size()}; }

std::optional<std::string> KeyParameter(const std::optional<evidence::PublicKey>& key) {
  if (!key.has_value()) return std::nullopt;
  return absl::StrCat("\\x", absl::BytesToHexString(key->bytes()));
}

std::string TimeParameter(absl::Time time) {
  return absl::FormatTime(absl::RFC3339_full, time, absl::UTCTimeZone());
}

}  // namespace rundlet::server

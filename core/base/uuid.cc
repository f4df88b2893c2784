#include "core/base/uuid.h"

#include "absl/status/status.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"

namespace rundlet {

absl::StatusOr<Uuid> Uuid::FromBytes(absl::string_view bytes) {
  if (bytes.size() != kSize) {
    return absl::InvalidArgumentError(
        absl::StrCat("an id has 16 bytes, this one has ", bytes.size()));
  }
  Uuid id;
  std::memcpy(id.bytes_.data(), bytes.data(), kSize);
  return id;
}

absl::StatusOr<Uuid> Uuid::Parse(absl::string_view text) {
  const absl::Status malformed = absl::InvalidArgumentError(absl::StrCat(
      "'", text, "' is not an id: it should look like 0190163d-8694-739b-aea5-966c26f8ad91"));
  if (text.size() != 36) return malformed;
  Uuid id;
  size_t nibble = 0;
  for (size_t i = 0; i < text.size(); ++i) {
    const bool dash_here = i == 8 || i == 13 || i == 18 || i == 23;
    if (dash_here != (text[i] == '-')) return malformed;
    if (dash_here) continue;
    int value = 0;
    if (text[i] >= '0' && text[i] <= '9') {
      value = text[i] - '0';
    } else if (text[i] >= 'a' && text[i] <= 'f') {
      value = text[i] - 'a' + 10;
    } else if (text[i] >= 'A' && text[i] <= 'F') {
      value = text[i] - 'A' + 10;
    } else {
      return malformed;
    }
    id.bytes_[nibble / 2] = static_cast<uint8_t>(id.bytes_[nibble / 2] << 4 | value);
    ++nibble;
  }
  return id;
}

Uuid Uuid::Version7(int64_t unix_ms, const std::array<uint8_t, 10>& random) {
  Uuid id;
  for (int i = 0; i < 6; ++i) {
    id.bytes_[i] = static_cast<uint8_t>(unix_ms >> (8 * (5 - i)));
  }
  std::memcpy(id.bytes_.data() + 6, random.data(), random.size());
  id.bytes_[6] = static_cast<uint8_t>(0x70 | (id.bytes_[6] & 0x0f));
  id.bytes_[8] = static_cast<uint8_t>(0x80 | (id.bytes_[8] & 0x3f));
  return id;
}

std::string Uuid::ToString() const {
  const std::string hex = absl::BytesToHexString(bytes());
  const absl::string_view h = hex;
  return absl::StrCat(h.substr(0, 8), "-", h.substr(8, 4), "-", h.substr(12, 4), "-",
                      h.substr(16, 4), "-", h.substr(20));
}

}  // namespace rundlet

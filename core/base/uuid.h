#ifndef RUNDLET_CORE_BASE_UUID_H_
#define RUNDLET_CORE_BASE_UUID_H_

#include <array>
#include <compare>
#include <cstdint>
#include <cstring>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet {

// A 128-bit identifier, made by the device that first wrote of the thing (RFC 9562).
//
// Ordering is by bytes, which for version 7 is by time of making. The nil UUID stands for "none"
// and is never a thing's id. A plain value: copy freely, share between threads freely.
class Uuid {
 public:
  static constexpr size_t kSize = 16;

  constexpr Uuid() : bytes_{} {}

  // `bytes` must hold exactly 16 bytes, as the wire carries them; InvalidArgument otherwise.
  static absl::StatusOr<Uuid> FromBytes(absl::string_view bytes);

  // The 36-character text form, either case; InvalidArgument otherwise.
  static absl::StatusOr<Uuid> Parse(absl::string_view text);

  // A version 7 id (RFC 9562 section 5.7) from a Unix time in milliseconds and ten random bytes,
  // both handed in.
  static Uuid Version7(int64_t unix_ms, const std::array<uint8_t, 10>& random);

  bool is_nil() const { return *this == Uuid(); }
  absl::string_view bytes() const {
    return absl::string_view(reinterpret_cast<const char*>(bytes_.data()), kSize);
  }
  std::string ToBytes() const { return std::string(bytes()); }
  std::string ToString() const;

  friend auto operator<=>(const Uuid& a, const Uuid& b) {
    return std::memcmp(a.bytes_.data(), b.bytes_.data(), kSize) <=> 0;
  }
  friend bool operator==(const Uuid& a, const Uuid& b) { return a.bytes_ == b.bytes_; }

  template <typename H>
  friend H AbslHashValue(H state, const Uuid& id) {
    return H::combine_contiguous(std::move(state), id.bytes_.data(), kSize);
  }

 private:
  std::array<uint8_t, kSize> bytes_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_BASE_UUID_H_

#ifndef RUNDLET_CORE_QUANTITY_ROUNDING_H_
#define RUNDLET_CORE_QUANTITY_ROUNDING_H_

#include <cstdint>
#include <limits>
#include <optional>

namespace rundlet {

// A whole number that stands for a fraction; `exact` when nothing was rounded away.
struct Rounded {
  int64_t value = 0;
  bool exact = true;

  friend bool operator==(const Rounded&, const Rounded&) = default;
};

// num / den to the nearest whole number, halves to the even neighbour: the rounding of every
// quantity in the book. `den` must be positive. Empty when the result does not fit 64 bits.
constexpr std::optional<Rounded> DivideHalfEven(__int128 num, __int128 den) {
  __int128 quotient = num / den;
  const __int128 rest = num % den;  // carries the sign of num
  const __int128 size = rest < 0 ? -rest : rest;
  const __int128 short_of_next = den - size;
  if (size > short_of_next || (size == short_of_next && quotient % 2 != 0)) {
    quotient += num < 0 ? -1 : 1;
  }
  if (quotient > std::numeric_limits<int64_t>::max() ||
      quotient < std::numeric_limits<int64_t>::min()) {
    return std::nullopt;
  }
  return Rounded{static_cast<int64_t>(quotient), rest == 0};
}

// The greatest common divisor of two positive numbers.
constexpr __int128 CommonDivisor(__int128 a, __int128 b) {
  while (b != 0) {
    const __int128 rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_ROUNDING_H_

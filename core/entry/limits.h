#ifndef RUNDLET_CORE_ENTRY_LIMITS_H_
#define RUNDLET_CORE_ENTRY_LIMITS_H_

#include <cstddef>
#include <cstdint>

namespace rundlet {

// The format that this build writes, and the newest that it can fold.
inline constexpr uint32_t kFormatVersion = 1;

// Bounds on one entry. They keep a slip of the keyboard, or bytes from a stranger, from costing
// more than an error message.
inline constexpr size_t kMaxEntryBytes = 64 * 1024;
inline constexpr size_t kMaxNameBytes = 200;
inline constexpr int kMaxLines = 256;  // draws, fills, additions ... in one entry
inline constexpr int64_t kMaxVolumeUl = 100'000'000'000'000;  // 100,000 m3, in microlitres
inline constexpr int64_t kMaxAmount = 1'000'000'000'000'000;  // 1,000 t in micrograms
inline constexpr int64_t kMaxCents = 100'000'000'000'000;     // a million million of a currency
inline constexpr int32_t kMinTemperatureMillic = -50'000;     // thousandths of a degree Celsius
inline constexpr int32_t kMaxTemperatureMillic = 200'000;
inline constexpr int64_t kMaxBottles = 100'000'000;
inline constexpr int64_t kMaxTolerancePpm = 500'000;       // half of what is there
inline constexpr int64_t kMaxDurationMin = 366 * 24 * 60;  // a year and a day
inline constexpr int64_t kMaxReadingMicro =
    1'000'000'000'000;  // a reading of one million of any unit

// No sum that the fold keeps goes beyond this; an entry that would is held. Far from the end of
// int64_t, so that sums of a whole entry's lines cannot overflow before they are checked.
inline constexpr int64_t kMaxHeldQuantity = 4'000'000'000'000'000'000;
static_assert(kMaxAmount * kMaxLines < kMaxHeldQuantity);

// Times between 1900 and 2200, in microseconds since 1970.
inline constexpr int64_t kMinTimeUs = -2'208'988'800'000'000;
inline constexpr int64_t kMaxTimeUs = 7'258'118'400'000'000;

}  // namespace rundlet

#endif  // RUNDLET_CORE_ENTRY_LIMITS_H_

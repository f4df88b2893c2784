#include <cstdint>
#include <cstdlib>

#include "absl/strings/str_format.h"
#include "absl/time/civil_time.h"
#include "core/quantity/when.h"

namespace rundlet {
namespace {

constexpr int64_t kSecondUs = 1'000'000;

struct Local {
  absl::CivilSecond second;
  int64_t micro;  // 0 to 999'999
};

Local LocalOf(const When& when) {
  int64_t seconds = when.at_us / kSecondUs;
  int64_t micro = when.at_us % kSecondUs;
  if (micro < 0) {
    micro += kSecondUs;
    --seconds;
  }
  const absl::CivilSecond epoch(1970, 1, 1);
  return {epoch + seconds + int64_t{when.utc_offset_min} * 60, micro};
}

}  // namespace

std::string FormatWhenDay(const When& when) {
  const absl::CivilSecond local = LocalOf(when).second;
  return absl::StrFormat("%04d-%02d-%02d", local.year(), local.month(), local.day());
}

std::string FormatWhen(const When& when) {
  const absl::CivilSecond local = LocalOf(when).second;
  return absl::StrFormat("%s %02d:%02d", FormatWhenDay(when), local.hour(), local.minute());
}

std::string FormatWhenIso(const When& when) {
  const Local local = LocalOf(when);
  std::string text = absl::StrFormat("%sT%02d:%02d:%02d", FormatWhenDay(when), local.second.hour(),
                                     local.second.minute(), local.second.second());
  if (local.micro != 0) {
    text += absl::StrFormat(".%06d", local.micro);
    while (text.back() == '0') text.pop_back();
  }
  if (when.utc_offset_min == 0) return text + "Z";
  const int64_t size = std::abs(int64_t{when.utc_offset_min});
  return text +
         absl::StrFormat("%c%02d:%02d", when.utc_offset_min < 0 ? '-' : '+', size / 60, size % 60);
}

}  // namespace rundlet

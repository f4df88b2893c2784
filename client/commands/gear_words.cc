#include "client/commands/gear_words.h"

#include <optional>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "absl/time/civil_time.h"
#include "core/entry/limits.h"
#include "core/quantity/number.h"
#include "core/quantity/rounding.h"
#include "core/quantity/text.h"
#include "core/quantity/when.h"
#include "core/quantity/when_parts.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr int kMilli = 1'000;
constexpr int kFirstYear = 1900, kLastYear = 2199;  // as for times

}  // namespace

absl::StatusOr<Uuid> FindGearOrVessel(const Planner& planner, const std::string& name) {
  constexpr v1::Thing::KindCase kKinds[] = {v1::Thing::kEquipment, v1::Thing::kVessel};
  for (const auto kind : kKinds) {
    absl::string_view rest = name;
    if (absl::ConsumePrefix(&rest, absl::StrCat(KindWord(kind), ":")))
      return planner.Named(kind, rest);
  }
  const auto found = FindByName(planner.fold(), kKinds, name);
  if (found.ok()) return planner.fold().interner().id(*found);
  if (!absl::IsNotFound(found.status())) return found.status();
  return absl::NotFoundError(absl::StrCat(found.status().message(),
                                          "\nNew gear: rundlet gear new '", name, "' --kind pump"));
}

absl::StatusOr<int32_t> ReadMillic(absl::string_view option, absl::string_view text) {
  const std::string tidy = Tidy(text);
  absl::string_view unit = tidy;
  const auto number = TakeNumber(&unit);
  absl::ConsumePrefix(&unit, "\u00b0");
  const bool celsius = absl::EqualsIgnoreCase(unit, "C");
  if (!number.ok() || (!celsius && !absl::EqualsIgnoreCase(unit, "F")))
    return Usage(absl::StrCat(option, ": '", text, "' is no temperature: write 60C or 140F"));
  const __int128 num = celsius ? static_cast<__int128>(number->num) * 9
                               : (static_cast<__int128>(number->num) - 32 * number->den) * 5;
  const auto millic = DivideHalfEven(num * kMilli, static_cast<__int128>(number->den) * 9);
  if (!millic.has_value() || millic->value < kMinTemperatureMillic ||
      millic->value > kMaxTemperatureMillic)
    return Usage(absl::StrCat(option, ": '", text, "' is too cold or too hot to be meant"));
  return static_cast<int32_t>(millic->value);
}

absl::StatusOr<When> ReadAnyTime(absl::string_view option, absl::string_view text, const When& now,
                                 const absl::TimeZone& zone) {
  const auto when = ParseWhen(text, now, zone, {.allow_future = true});
  if (!when.ok()) return Usage(absl::StrCat(option, ": ", when.status().message()));
  return when;
}

absl::StatusOr<std::string> ReadDay(absl::string_view option, absl::string_view text) {
  std::optional<absl::CivilDay> day = ReadDate(text);
  if (!day.has_value()) {
    const auto first = ReadDate(absl::StrCat(text, "-01"));
    if (first.has_value()) day = absl::CivilDay(absl::CivilMonth(*first) + 1) - 1;
  }
  if (day.has_value() && (day->year() < kFirstYear || day->year() > kLastYear))
    return Usage(absl::StrCat(option, ": the year ", day->year(), " cannot be meant"));
  if (day.has_value()) return absl::FormatCivilTime(*day);
  return Usage(absl::StrCat(option, ": '", text, "' is no date, such as 2028-01-31 or 2028-01"));
}

}  // namespace rundlet::client

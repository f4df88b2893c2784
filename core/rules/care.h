#ifndef RUNDLET_CORE_RULES_CARE_H_
#define RUNDLET_CORE_RULES_CARE_H_

#include <cstdint>
#include <optional>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"

namespace rundlet::rules {

// How much of a cellar is looked at: all of it, or a few wines.
enum class Reach { kAll, kFew };

// When vessels and gear were used, sanitised and calibrated, by the entries that count. Positions
// are those of the fold's order. Worked out when first asked for; good as long as the fold does not
// change. Not safe to share between threads.
class CareIndex {
 public:
  struct Time {
    size_t position = 0;
    RowId row = kNone;
  };

  CareIndex(const Fold& fold, Reach reach) : fold_(fold), reach_(reach) {}

  // In order.
  absl::Span<const Time> CleaningsOf(Handle thing) const;
  absl::Span<const Time> CalibrationsOf(Handle thing) const;
  // Additions into a vessel of something that was stirred into water of a known temperature.
  absl::Span<const Time> MixingsInto(Handle vessel) const;
  // All that was ever sanitised or that something hot may have gone into, in no particular order.
  std::vector<Handle> CaredFor() const;

  // The first cleaning or calibration that anybody wrote down; SIZE_MAX if nobody did.
  size_t FirstCleaning() const { return Known().first_cleaning; }
  size_t FirstCalibration() const { return Known().first_calibration; }

  // The last cleaning of a thing before a position, unless it was used in between.
  std::optional<Time> CleanAt(Handle thing, size_t position) const;

 private:
  using Times = absl::flat_hash_map<Handle, std::vector<Time>>;
  struct All {
    Times cleanings, calibrations, mixings;
    size_t first_cleaning = SIZE_MAX;
    size_t first_calibration = SIZE_MAX;
  };

  // Whether a thing was used between two positions.
  bool UsedBetween(Handle thing, size_t after, size_t before) const;

  const All& Known() const;
  const Times& Uses() const;

  const Fold& fold_;
  const Reach reach_;
  mutable std::optional<All> all_;
  mutable std::optional<Times> uses_;
};

// The last of them before a position.
std::optional<CareIndex::Time> LastBefore(absl::Span<const CareIndex::Time> times, size_t position);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_CARE_H_

#ifndef RUNDLET_CORE_FOLD_IDS_H_
#define RUNDLET_CORE_FOLD_IDS_H_

#include <cstdint>

#include "rundlet/v1/types.pb.h"

namespace rundlet {

// Small numbers that stand for ids inside one fold. None of them leaves it: handles, rows and
// commodities are numbered by arrival, which differs between devices. Parcels are numbered by fold
// order, which does not.
using Handle = uint32_t;    // a named thing or a device; 0 is none
using RowId = uint32_t;     // an entry
using ParcelId = uint32_t;  // a parcel
using Commodity =
    uint32_t;             // wine, a material (lot) by its dimension, or bottles of one run and size
using FactId = uint32_t;  // a reading, treatment, observation or count

inline constexpr Handle kNoHandle = 0;
inline constexpr uint32_t kNone = UINT32_MAX;  // no row, no parcel, no fact
inline constexpr Commodity kWine = 0;

// One end of a movement.
class Place {
 public:
  enum class Kind : uint8_t { kOutside = 0, kVessel = 1, kBin = 2, kStock = 3 };

  constexpr Place() : bits_(0) {}
  static constexpr Place Outside(v1::Account account) { return Place(Kind::kOutside, account); }
  static constexpr Place Vessel(Handle vessel) { return Place(Kind::kVessel, vessel); }
  static constexpr Place Bin(Handle bin) { return Place(Kind::kBin, bin); }
  static constexpr Place Stock() { return Place(Kind::kStock, 0); }

  constexpr Kind kind() const { return static_cast<Kind>(bits_ >> 28); }
  constexpr Handle handle() const { return bits_ & 0x0fffffff; }
  constexpr v1::Account account() const { return static_cast<v1::Account>(handle()); }

  friend constexpr bool operator==(Place, Place) = default;
  template <typename H>
  friend H AbslHashValue(H state, const Place& place) {
    return H::combine(std::move(state), place.bits_);
  }

 private:
  constexpr Place(Kind kind, uint32_t value) : bits_(static_cast<uint32_t>(kind) << 28 | value) {}
  uint32_t bits_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_IDS_H_

#ifndef RUNDLET_CORE_FOLD_MIX_H_
#define RUNDLET_CORE_FOLD_MIX_H_

#include <cstdint>
#include <vector>

#include "absl/types/span.h"

namespace rundlet {

// So much of something: microlitres of an origin parcel, micrograms of a material lot.
struct Share {
  int64_t amount = 0;
  uint32_t of = 0;
  uint32_t padding = 0;

  friend bool operator==(const Share&, const Share&) = default;
};
static_assert(sizeof(Share) == 16);

// What a quantity of wine is made of, while it is being poured. Lists are sorted by `of`, without
// zero amounts.
struct Mix {
  int64_t volume_ul = 0;
  std::vector<Share> origins;  // by origin parcel; they add up to volume_ul
  std::vector<Share> doses;    // by commodity, in its base unit
  std::vector<Share>
      sources;  // by draw, while a pool is shared out; empty, or they add up to volume_ul

  void Clear();
  bool empty() const { return volume_ul == 0 && doses.empty(); }
};

// Pours `volume_ul` of `from` into `part`, which is cleared first. 0 <= volume_ul <=
// from.volume_ul.
//
// Nothing is made or lost: what `part` gets, `from` loses. Lists that add up to the volume are
// split by largest remainder, so that both sides add up again; a tie goes to the smaller `of`. A
// dose is split to the nearest whole unit, half a unit stays. Pouring all takes everything, also
// doses that wait in an empty vessel.
void Pour(Mix& from, int64_t volume_ul, Mix& part);

// Adds `part` to `into`.
void Blend(Mix& into, const Mix& part);

// Adds one share to a sorted list.
void AddShare(std::vector<Share>& shares, uint32_t of, int64_t amount);

// amount * numerator / denominator rounded down, and what is left over. 0 <= numerator <=
// denominator, amount >= 0.
struct Quotient {
  int64_t whole;
  int64_t remainder;
};
Quotient Scale(int64_t amount, int64_t numerator, int64_t denominator);

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_MIX_H_

#include "core/fold/mix.h"

#include <algorithm>

#include "absl/container/inlined_vector.h"

namespace rundlet {
namespace {

// Moves `volume_ul` of the `total_ul` that `from` adds up to into `part`, by largest remainder.
void SplitExactly(std::vector<Share>& from, int64_t volume_ul, int64_t total_ul,
                  std::vector<Share>& part) {
  struct Remainder {
    int64_t size;
    size_t index;
  };
  if (from.empty()) {  // nothing is kept by draw outside a pool
    part.clear();
    return;
  }
  absl::InlinedVector<Remainder, 16> remainders;
  part.resize(from.size());
  int64_t given = 0;
  for (size_t i = 0; i < from.size(); ++i) {
    const Quotient q = Scale(from[i].amount, volume_ul, total_ul);
    part[i] = {.amount = q.whole, .of = from[i].of};
    given += q.whole;
    if (q.remainder > 0) remainders.push_back({q.remainder, i});
  }
  // Each rounding down lost less than one unit, so fewer units are missing than there are
  // remainders.
  const auto missing = static_cast<size_t>(volume_ul - given);
  if (missing > 0 && missing < remainders.size()) {
    std::nth_element(remainders.begin(), remainders.begin() + missing, remainders.end(),
                     [](const Remainder& a, const Remainder& b) {
                       return a.size != b.size ? a.size > b.size : a.index < b.index;
                     });
  }
  for (size_t i = 0; i < missing; ++i) ++part[remainders[i].index].amount;
  for (size_t i = 0; i < from.size(); ++i) from[i].amount -= part[i].amount;
}

void DropZeroes(std::vector<Share>& shares) {
  shares.erase(
      std::remove_if(shares.begin(), shares.end(), [](const Share& s) { return s.amount == 0; }),
      shares.end());
}

void SplitNearest(std::vector<Share>& from, int64_t volume_ul, int64_t total_ul,
                  std::vector<Share>& part) {
  part.resize(from.size());
  for (size_t i = 0; i < from.size(); ++i) {
    const Quotient q = Scale(from[i].amount, volume_ul, total_ul);
    const bool up = q.remainder > total_ul - q.remainder;
    part[i] = {.amount = q.whole + (up ? 1 : 0), .of = from[i].of};
    from[i].amount -= part[i].amount;
  }
}

void BlendShares(std::vector<Share>& into, const std::vector<Share>& part) {
  if (part.empty()) return;
  if (into.empty()) {
    into = part;
    return;
  }
  for (const Share& share : part) AddShare(into, share.of, share.amount);
}

}  // namespace

Quotient Scale(int64_t amount, int64_t numerator, int64_t denominator) {
  const auto product = static_cast<unsigned __int128>(amount) * static_cast<uint64_t>(numerator);
  const auto divisor = static_cast<uint64_t>(denominator);
  if (product >> 64 == 0) {
    const auto low = static_cast<uint64_t>(product);
    return {static_cast<int64_t>(low / divisor), static_cast<int64_t>(low % divisor)};
  }
  return {static_cast<int64_t>(product / divisor), static_cast<int64_t>(product % divisor)};
}

void Mix::Clear() {
  volume_ul = 0;
  origins.clear();
  doses.clear();
  sources.clear();
}

void Pour(Mix& from, int64_t volume_ul, Mix& part) {
  if (volume_ul == from.volume_ul) {
    part.Clear();
    std::swap(from, part);
    return;
  }
  const int64_t total_ul = from.volume_ul;
  SplitExactly(from.origins, volume_ul, total_ul, part.origins);
  SplitExactly(from.sources, volume_ul, total_ul, part.sources);
  SplitNearest(from.doses, volume_ul, total_ul, part.doses);
  part.volume_ul = volume_ul;
  from.volume_ul = total_ul - volume_ul;
  for (Mix* mix : {&from, &part}) {
    DropZeroes(mix->origins);
    DropZeroes(mix->doses);
    DropZeroes(mix->sources);
  }
}

void Blend(Mix& into, const Mix& part) {
  into.volume_ul += part.volume_ul;
  BlendShares(into.origins, part.origins);
  BlendShares(into.doses, part.doses);
  BlendShares(into.sources, part.sources);
}

void AddShare(std::vector<Share>& shares, uint32_t of, int64_t amount) {
  if (amount == 0) return;
  const auto it = std::lower_bound(shares.begin(), shares.end(), of,
                                   [](const Share& share, uint32_t key) { return share.of < key; });
  if (it != shares.end() && it->of == of) {
    it->amount += amount;
  } else {
    shares.insert(it, {.amount = amount, .of = of});
  }
}

}  // namespace rundlet

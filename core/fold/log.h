#ifndef RUNDLET_CORE_FOLD_LOG_H_
#define RUNDLET_CORE_FOLD_LOG_H_

#include <cstddef>
#include <cstring>
#include <type_traits>
#include <vector>

#include "absl/types/span.h"

namespace rundlet {

// A sequence that grows at its end and is cut back at its end: what the fold writes and what
// undoing takes away.
//
// It may stand on a base that somebody else holds in memory, such as a mapped snapshot, which must
// outlive it. Elements of the base can be changed in place, so the mapping must be private. A slice
// that was appended as a whole stays in one piece. Addresses are good until the next Append.
template <typename T>
class Log {
  static_assert(std::is_trivially_copyable_v<T>, "a log is saved and mapped as plain bytes");

 public:
  size_t size() const { return base_.size() + tail_.size(); }
  bool empty() const { return size() == 0; }

  const T& operator[](size_t i) const {
    return i < base_.size() ? base_[i] : tail_[i - base_.size()];
  }
  T& operator[](size_t i) { return i < base_.size() ? base_[i] : tail_[i - base_.size()]; }
  const T& back() const { return (*this)[size() - 1]; }

  // `count` elements from `begin`, which were appended together or lie on one side of the base's
  // end.
  absl::Span<const T> Slice(size_t begin, size_t count) const {
    if (count == 0) return {};
    return begin < base_.size() ? absl::Span<const T>(base_.data() + begin, count)
                                : absl::Span<const T>(tail_.data() + (begin - base_.size()), count);
  }

  void Append(const T& element) { tail_.push_back(element); }
  void Append(absl::Span<const T> elements) {
    tail_.insert(tail_.end(), elements.begin(), elements.end());
  }

  // Grows with zeroes, or cuts back.
  void Resize(size_t size) {
    if (size >= base_.size()) {
      tail_.resize(size - base_.size());
    } else {
      tail_.clear();
      base_ = base_.subspan(0, size);
    }
  }
  void Truncate(size_t size) {
    if (size < this->size()) Resize(size);
  }

  // Stands on `base` from now on; what was there is dropped.
  void Rest(absl::Span<T> base) {
    base_ = base;
    tail_.clear();
  }

  // The two pieces in order, for saving.
  absl::Span<const T> base() const { return base_; }
  absl::Span<const T> tail() const { return tail_; }

 private:
  absl::Span<T> base_;
  std::vector<T> tail_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_LOG_H_

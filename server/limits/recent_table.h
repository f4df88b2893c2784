#ifndef RUNDLET_SERVER_LIMITS_RECENT_TABLE_H_
#define RUNDLET_SERVER_LIMITS_RECENT_TABLE_H_

#include <list>
#include <string>
#include <utility>

#include "absl/container/flat_hash_map.h"

namespace rundlet::server {

// What is known of the callers that came last, at most `max_size` of them: who came least recently
// is forgotten first, so that strangers cannot fill the memory. Not safe to share between threads.
template <typename Value>
class RecentTable {
 public:
  explicit RecentTable(size_t max_size) : max_size_(max_size) {}

  // The key's value, made of `initial` where there is none. Good until the next call.
  Value& At(const std::string& key, const Value& initial) {
    const auto found = places_.find(key);
    if (found != places_.end()) {
      uses_.splice(uses_.begin(), uses_, found->second);
      return found->second->second;
    }
    if (uses_.size() >= max_size_) {
      places_.erase(uses_.back().first);
      uses_.pop_back();
    }
    uses_.emplace_front(key, initial);
    places_[key] = uses_.begin();
    return uses_.front().second;
  }

  // nullptr: nothing is known of it. Does not count as a use.
  const Value* Find(const std::string& key) const {
    const auto found = places_.find(key);
    return found == places_.end() ? nullptr : &found->second->second;
  }

  void Forget(const std::string& key) {
    const auto found = places_.find(key);
    if (found == places_.end()) return;
    uses_.erase(found->second);
    places_.erase(found);
  }

  // Calls `look` with each value.
  template <typename Look>
  void ForEach(Look&& look) const {
    for (const auto& [key, value] : uses_) look(value);
  }

  size_t size() const { return uses_.size(); }

 private:
  const size_t max_size_;
  std::list<std::pair<std::string, Value>> uses_;  // the last one first
  absl::flat_hash_map<std::string, typename std::list<std::pair<std::string, Value>>::iterator>
      places_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_LIMITS_RECENT_TABLE_H_

#include "tests/faults/promises.h"

#include "absl/strings/str_cat.h"

namespace rundlet::testing {

void Promises::Saved(const std::string& home, const std::string& entry_id) {
  absl::MutexLock lock(&mutex_);
  saved_[home].insert(entry_id);
}

void Promises::Acknowledged(const std::string& entry_id, uint64_t seq) {
  absl::MutexLock lock(&mutex_);
  uint64_t& place = acknowledged_[entry_id];
  if (place != 0 && place != seq)
    broken_.push_back(
        absl::StrCat("entry ", entry_id, " was acknowledged as number ", place, ", and as ", seq));
  place = seq;
}

void Promises::ForgetPlaces() {
  absl::MutexLock lock(&mutex_);
  for (auto& [entry_id, seq] : acknowledged_) seq = 0;
}

void Promises::Excuse(const std::string& entry_id) {
  absl::MutexLock lock(&mutex_);
  for (auto& [home, entries] : saved_) entries.erase(entry_id);
}

std::map<std::string, std::set<std::string>> Promises::saved() const {
  absl::MutexLock lock(&mutex_);
  return saved_;
}

std::map<std::string, uint64_t> Promises::acknowledged() const {
  absl::MutexLock lock(&mutex_);
  return acknowledged_;
}

std::vector<std::string> Promises::broken() const {
  absl::MutexLock lock(&mutex_);
  return broken_;
}

}  // namespace rundlet::testing

#ifndef RUNDLET_TESTS_FAULTS_PROMISES_H_
#define RUNDLET_TESTS_FAULTS_PROMISES_H_

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "absl/base/thread_annotations.h"
#include "absl/synchronization/mutex.h"

namespace rundlet::testing {

// What was said to people and devices, kept apart from both: it is what the audit holds them to.
// Entries are named by their ids as text. Thread-safe.
class Promises {
 public:
  // The client at `home` said "saved".
  void Saved(const std::string& home, const std::string& entry_id);
  // The server said that the entry is in the journal, as number `seq`. What it says twice must be
  // the same.
  void Acknowledged(const std::string& entry_id, uint64_t seq);

  // From now on numbers in the journal may be others than before: it was restored from a backup.
  void ForgetPlaces();
  // This entry was damaged on the device's disk before it was synced: nobody can have it any more.
  void Excuse(const std::string& entry_id);

  std::map<std::string, std::set<std::string>> saved() const;  // by home
  std::map<std::string, uint64_t> acknowledged() const;        // 0: the place may have changed
  std::vector<std::string> broken() const;                     // a sentence each

 private:
  mutable absl::Mutex mutex_;
  std::map<std::string, std::set<std::string>> saved_ ABSL_GUARDED_BY(mutex_);
  std::map<std::string, uint64_t> acknowledged_ ABSL_GUARDED_BY(mutex_);
  std::vector<std::string> broken_ ABSL_GUARDED_BY(mutex_);
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_PROMISES_H_

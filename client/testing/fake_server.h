#ifndef RUNDLET_CLIENT_TESTING_FAKE_SERVER_H_
#define RUNDLET_CLIENT_TESTING_FAKE_SERVER_H_

#include <functional>
#include <string>
#include <vector>

#include "client/sync/remote.h"

namespace rundlet::client {

// A journal in memory with the manners of the server: an entry is answered by its id and bytes, and
// must fit its device's chain. Several devices may share one.
struct FakeJournal {
  std::vector<std::string> entries;
  std::vector<v1::Seal> seals;
  int64_t received_at_us = 0;  // what it says of when it took them in
  // The entries that it returns, or is too old for; null: none.
  std::function<PushAnswer::Kind(const v1::Entry&)> judge;
  // 32 bytes: the key by which it signs what it says of itself; empty: it signs nothing.
  std::string signing_seed = std::string(32, 'k');
  // What it signs in place of its entries; null: them.
  std::function<std::vector<std::string>()> signed_entries;
};

// One device's view of it. Calls can be made to fail.
class FakeServer : public Remote {
 public:
  FakeServer(FakeJournal& journal, const Device& device) : journal_(journal), device_(device) {}

  absl::StatusOr<Who> GetDevice() override;
  absl::StatusOr<std::vector<PushAnswer>> Push(absl::Span<const StoredEntry> entries,
                                               const std::string& signature) override;
  void TellOldestWaiting(int64_t age_us) override { oldest_waiting_us_ = age_us; }
  absl::StatusOr<Page> Pull(uint64_t after_seq) override;
  absl::StatusOr<Signed> GetCheckpoint(uint64_t size) override;

  // The call that fails, counted from 1 over all calls; 0: none. It fails before it is done, or
  // afterwards (the answer is lost).
  void FailAt(int call, absl::Status error, bool after_doing = false);
  int calls() const { return calls_; }
  int64_t oldest_waiting_us() const { return oldest_waiting_us_; }
  int pushed_entries() const { return pushed_entries_; }
  void set_page_size(size_t size) { page_size_ = size; }
  Device& device() { return device_; }
  // The key by which it expects the device to sign, as it tells the device.
  void set_public_key(std::string key) { public_key_ = std::move(key); }

 private:
  PushAnswer Take(const std::string& bytes);
  // What the device signed of a push.
  void Keep(absl::Span<const StoredEntry> entries, absl::Span<const PushAnswer> answers,
            const std::string& signature);
  bool FailsNow() { return calls_ == fail_at_; }

  FakeJournal& journal_;
  Device device_;
  std::string public_key_;
  size_t page_size_ = 1000;
  int64_t oldest_waiting_us_ = -1;  // not told
  int calls_ = 0;
  int pushed_entries_ = 0;
  int fail_at_ = 0;
  absl::Status error_;
  bool after_doing_ = false;
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_TESTING_FAKE_SERVER_H_

#ifndef RUNDLET_TESTS_FAULTS_OUTBOX_H_
#define RUNDLET_TESTS_FAULTS_OUTBOX_H_

#include <optional>
#include <string>
#include <vector>

#include "client/store/store.h"
#include "tests/faults/promises.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::testing {

// Fills the outbox of a real client's book as the client itself would, but many entries at a time,
// or such as it would never write.
class Outbox {
 public:
  // Ends the test program where nobody has joined at `home`.
  explicit Outbox(const std::string& home);

  // Writes for the device, behind what it wrote last.
  TestDevice& device() { return *device_; }
  // Keeps an entry for Save; its id as text.
  std::string Put(const WrittenEntry& entry);
  // The same with a draft that no device would write: it gets its place in the chain, unchecked.
  std::string PutAnyhow(v1::Entry draft);
  // All of them, durably, in one go; the promises learn that they are saved.
  void Save(Promises& promises);

 private:
  const std::string home_;
  client::Store store_;
  ChainHead before_;
  std::optional<TestDevice> device_;
  std::vector<WrittenEntry> entries_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_OUTBOX_H_

#ifndef RUNDLET_CLIENT_TESTING_ENTRIES_H_
#define RUNDLET_CLIENT_TESTING_ENTRIES_H_

#include <string>
#include <vector>

#include "client/store/store.h"
#include "core/entry/writer.h"

namespace rundlet::client {

// Ids that tests tell apart by number; `kind` keeps those of different things apart.
Uuid NumberedId(uint8_t kind, uint64_t number);

// Device `number` of the invented Thistledown Wine Circle, whose member has the same number.
Device TestDevice(int number = 1);

// Writes notes, one after the other, as a device would.
class NoteWriter {
 public:
  explicit NoteWriter(const Device& device) : device_(device) {}

  // A note with this text, `ChainHead` moved on.
  WrittenEntry Write(const std::string& text);
  const ChainHead& head() const { return head_; }
  void set_head(const ChainHead& head) { head_ = head; }

 private:
  Device device_;
  ChainHead head_;
};

// The ids of all entries in a store that are in a state, in the order of local numbers.
std::vector<Uuid> IdsIn(Store& store, EntryState state);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_TESTING_ENTRIES_H_

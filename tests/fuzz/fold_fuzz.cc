// The entry point for libFuzzer; scripts/fuzz runs it, as
//   bin/fold_fuzz -max_len=30000 <somewhere writable> tests/fuzz/corpora/fold
//
// Bytes alone rarely stay an entry, so most inputs are made by changing a field of one.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "google/protobuf/stubs/logging.h"
#include "rundlet/v1/entry.pb.h"
#include "tests/fuzz/fold_input.h"
#include "tests/fuzz/mutator.h"

namespace rundlet::testing {
namespace {

// Ids of entries, devices and things that the journal speaks of.
std::vector<std::string> IdsIn(const std::vector<std::string>& entries) {
  std::vector<std::string> ids;
  for (const std::string& bytes : entries) {
    v1::Entry entry;
    if (!entry.ParseFromString(bytes)) continue;
    ids.push_back(entry.entry_id());
    ids.push_back(entry.device_id());
    if (entry.has_registered()) ids.push_back(entry.registered().thing_id());
  }
  return ids;
}

void MutateOne(Random& random, std::vector<std::string>& entries) {
  std::string& bytes = entries[random.Below(static_cast<int64_t>(entries.size()))];
  v1::Entry entry;
  if (random.Chance(100) || !entry.ParseFromString(bytes)) {
    MutateBytes(random, bytes);
    return;
  }
  MutateMessage(random, IdsIn(entries), entry);
  bytes = entry.SerializePartialAsString();
}

void Rearrange(Random& random, std::vector<std::string>& entries) {
  const auto any = [&] { return random.Below(static_cast<int64_t>(entries.size())); };
  switch (random.Below(3)) {
    case 0:
      std::swap(entries[any()], entries[any()]);
      break;
    case 1:
      entries.erase(entries.begin() + any());
      break;
    default: {
      const std::string copy = entries[any()];
      entries.insert(entries.begin() + any(), copy);
    }
  }
}

}  // namespace
}  // namespace rundlet::testing

extern "C" int LLVMFuzzerInitialize(int* /*argc*/, char*** /*argv*/) {
  google::protobuf::SetLogHandler(nullptr);  // text that is no UTF-8 is what we are looking for
  return 0;
}

extern "C" size_t LLVMFuzzerCustomMutator(uint8_t* data, size_t size, size_t max_size,
                                          unsigned int seed) {
  rundlet::testing::Random random(seed);
  std::vector<std::string> entries =
      rundlet::testing::SplitEntries({reinterpret_cast<const char*>(data), size});
  if (entries.empty()) return size;
  for (int64_t n = random.Between(1, 3); n > 0 && !entries.empty(); --n) {
    if (random.Chance(250)) {
      rundlet::testing::Rearrange(random, entries);
    } else {
      rundlet::testing::MutateOne(random, entries);
    }
  }
  const std::string mutated = rundlet::testing::JoinEntries(entries);
  const size_t length = std::min(max_size, mutated.size());
  std::copy_n(mutated.begin(), length, data);
  return length;
}

extern "C" int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const rundlet::testing::FoldedInput folded =
      rundlet::testing::FoldInput({reinterpret_cast<const char*>(data), size});
  if (!folded.status.ok()) {
    std::fprintf(stderr, "%s\n", folded.status.ToString().c_str());
    std::abort();
  }
  return 0;
}

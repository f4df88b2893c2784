// A target as a libFuzzer. Build with the preset "fuzz"; scripts/fuzz runs it.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "google/protobuf/stubs/logging.h"
#include "tests/fuzz/target.h"

extern "C" int LLVMFuzzerInitialize(int* /*argc*/, char*** /*argv*/) {
  google::protobuf::SetLogHandler(nullptr);  // text that is no UTF-8 is what we are looking for
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const absl::Status status =
      rundlet::testing::TryInput({reinterpret_cast<const char*>(data), size});
  if (!status.ok()) {
    std::fprintf(stderr, "%s\n", status.ToString().c_str());
    std::abort();
  }
  return 0;
}

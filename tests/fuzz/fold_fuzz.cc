// The entry point for libFuzzer: configure with clang and -DRUNDLET_FUZZ=ON, then
//   bin/fold_fuzz -max_len=20000 <somewhere writable> tests/fuzz/corpus
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "google/protobuf/stubs/logging.h"
#include "tests/fuzz/fold_input.h"

extern "C" int LLVMFuzzerInitialize(int* /*argc*/, char*** /*argv*/) {
  google::protobuf::SetLogHandler(nullptr);  // text that is no UTF-8 is what we are looking for
  return 0;
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

#ifndef RUNDLET_CORE_FOLD_SNAPSHOT_FORMAT_H_
#define RUNDLET_CORE_FOLD_SNAPSHOT_FORMAT_H_

#include <cstddef>
#include <cstdint>

#include "core/base/sha256.h"
#include "core/fold/sequence.h"
#include "core/fold/state.h"

namespace rundlet {

// The layout of a snapshot: header, then sections, each at a multiple of 64 bytes. Integers are the
// machine's own.
//
//   logs      rows, lines, order, marks, movements, parcels, shares, facts, held, three undo logs:
//   arrays as in memory heads     one serialised part with all that is copied at opening, see
//   snapshot.cc
struct SnapshotHeader {
  static constexpr uint64_t kMagic = 0x31544c444e555223;
  // Raised whenever a kept structure or the meaning of the fold changes.
  static constexpr uint64_t kVersion = 7;
  static constexpr size_t kLogs = 12;

  struct Section {
    uint64_t at = 0;
    uint64_t bytes = 0;
  };

  uint64_t magic = kMagic;
  uint64_t version = kVersion;
  uint64_t layout = Layout();
  uint64_t total_bytes = 0;
  Section logs[kLogs];
  Section heads;
  Hash logs_hash = {};
  Hash heads_hash = {};
  Hash header_hash = {};  // of this header with this field zero

  // Differs where a structure has another size.
  static constexpr uint64_t Layout() {
    uint64_t layout = 0;
    for (const uint64_t size :
         {sizeof(Row), sizeof(Line), sizeof(Movement), sizeof(Parcel), sizeof(Holding),
          sizeof(Fact), sizeof(Held), sizeof(Balance), sizeof(State::Mark)}) {
      layout = layout * 131 + size;
    }
    return layout;
  }
};

inline constexpr size_t kSectionAlignment = 64;
inline constexpr size_t AlignSection(size_t offset) {
  return (offset + kSectionAlignment - 1) / kSectionAlignment * kSectionAlignment;
}

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_SNAPSHOT_FORMAT_H_

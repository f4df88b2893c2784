#ifndef RUNDLET_SERVER_CELLAR_LIMITS_H_
#define RUNDLET_SERVER_CELLAR_LIMITS_H_

#include <cstddef>
#include <cstdint>

namespace rundlet::server {

// One push, as docs/sync.md promises it.
inline constexpr int kMaxPushEntries = 1000;
inline constexpr size_t kMaxPushBytes = 3 * 1024 * 1024;

// One transaction of pushes that are written together: at least one push, and no more when it has
// reached either of these.
inline constexpr size_t kBatchEntries = 4000;
inline constexpr size_t kBatchBytes = 12 * 1024 * 1024;

// What an entry takes in memory beside its bytes while it waits: its fields, read.
inline constexpr size_t kEntryOverheadBytes = 700;

// What may wait for one cellar, and for all of them.
inline constexpr size_t kMaxWaitingBytesPerCellar = 24 * 1024 * 1024;
inline constexpr size_t kMaxWaitingPushesPerCellar = 512;
inline constexpr size_t kMaxWaitingBytes = 256 * 1024 * 1024;

// Entries and bytes that are read at once while a cellar is loaded.
inline constexpr int kLoadEntries = 5000;
inline constexpr int64_t kLoadBytes = 8 * 1024 * 1024;

// A page of Pull. Bytes stay below the 4 MiB that gRPC clients take by default.
inline constexpr int kDefaultPullPage = 1000;
inline constexpr int kMaxPullPage = 5000;
inline constexpr int64_t kMaxPullBytes = 3 * 1024 * 1024;
inline constexpr int64_t kMaxPullSealBytes = 512 * 1024;  // of signatures in a page

// A page of ListJournal and ListHeld.
inline constexpr int kDefaultListPage = 100;
inline constexpr int kMaxListPage = 1000;
inline constexpr size_t kMaxListBytes = 3 * 1024 * 1024;  // a page ends before it grows beyond

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_CELLAR_LIMITS_H_

#ifndef RUNDLET_CLIENT_SYNC_SYNCER_H_
#define RUNDLET_CLIENT_SYNC_SYNCER_H_

#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "client/store/store.h"
#include "client/store/sync_store.h"
#include "client/sync/remote.h"

namespace rundlet::client {

// What a sync did, also where it came to no end.
struct SyncResult {
  int64_t sent = 0;      // recorded by the server
  int64_t received = 0;  // new here
  int64_t returned = 0;
  int64_t not_yet = 0;         // the server is too old for them; they stay
  int64_t mended = 0;          // were damaged here
  bool numbers_taken = false;  // returned because another entry has their running number
  // Where a sync that was cut off before had come to, in the journal; 0: none was.
  int64_t went_on_after = 0;
  std::vector<std::string> alarms;
};

// Makes the store and the server's journal the same set of entries: what was written here goes
// there, what is there comes here. Killed at any point, the next one goes on. A server that has
// lost what it acknowledged (restored from a backup) is found out, said loudly, and gets it again.
class Syncer {
 public:
  // `watch` hears how far it is, page by page: "sent" or "received", so many of so many.
  using Watch = std::function<void(absl::string_view what, int64_t done, int64_t total)>;
  Syncer(
      Store& store, Remote& remote, Watch watch = [](absl::string_view, int64_t, int64_t) {})
      : store_(store), sync_store_(store), remote_(remote), watch_(std::move(watch)) {}

  // FailedPrecondition: the token is for another cellar or device; nothing was sent. Otherwise the
  // errors of Remote and Store. `repair` fetches the whole journal again. `result` counts as far as
  // it came.
  absl::Status Run(bool repair, int64_t now_us, SyncResult& result);

 private:
  absl::Status Exchange(bool repair, int64_t now_us, SyncResult& result);
  absl::Status CheckWhoWeAre(const Remote::Who& who) const;
  absl::Status PushAll(SyncResult& result);
  // This device's signature over a page of its entries; empty where it has no key.
  absl::StatusOr<std::string> Sign(absl::Span<const StoredEntry> page) const;
  // Tells the server for how long the oldest entry has waited that is still to be handed in.
  absl::Status TellWhatWaits(int64_t now_us);
  // From the page on in which the server took a new key in, it expects that one.
  void NoteNewKey(absl::Span<const StoredEntry> page, absl::Span<const PushAnswer> answers);
  // FailedPrecondition: the journal is not the one that was seen before.
  absl::Status PullAll(SyncResult& result);
  // Says so in the result where the sync before was cut off.
  absl::Status NoteWentOn(int64_t last, SyncResult& result);
  absl::Status CheckPage(const Remote::Page& page, uint64_t after, bool overlaps);
  // Keeps what the server's clock said when it took in the latest own entry of a page.
  absl::Status CompareClocks(absl::Span<const PulledRow> rows);
  absl::Status Refetch(SyncResult& result);
  absl::StatusOr<bool> Refetching();

  Store& store_;
  SyncStore sync_store_;
  Remote& remote_;
  Watch watch_;
  std::string expected_key_;  // by which the server expects us to sign
};

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_SYNC_SYNCER_H_

#ifndef RUNDLET_CORE_FOLD_SNAPSHOT_H_
#define RUNDLET_CORE_FOLD_SNAPSHOT_H_

#include <memory>
#include <string>

#include "absl/functional/function_ref.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"

namespace rundlet {

// A fold as bytes, so that a program need not fold its whole journal at every start. A snapshot is
// a cache: one that does not fit, for whatever reason, is dropped and the journal is folded again.
//
// The long logs are stored as they lie in memory and used where they are mapped, so opening a
// snapshot costs what is touched, not its size. That ties it to the byte order and the layout of
// the build that wrote it; the header says which.
class Snapshot {
 public:
  // Writes a settled fold in pieces. `stamp` says which entries it was folded from, in the caller's
  // own terms.
  static void Save(const Fold& fold, absl::string_view stamp,
                   absl::FunctionRef<void(absl::string_view)> write);

  struct Opened {
    std::unique_ptr<Fold> fold;
    std::string stamp;
  };
  enum class Verify {
    kHeads,  // what is copied at once
    kAll,    // every byte: costs the size
  };
  // Opens a snapshot where it lies. `bytes` must be private to this process, writable (the fold
  // changes them in place and must not change the file), aligned to 64 bytes, and outlive the fold.
  //
  // FailedPrecondition: it was written by another build. DataLoss: it is damaged. Either way fold
  // the journal instead.
  static absl::StatusOr<Opened> Open(absl::Span<char> bytes, Verify verify);
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_SNAPSHOT_H_

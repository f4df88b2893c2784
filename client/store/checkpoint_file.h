#ifndef RUNDLET_CLIENT_STORE_CHECKPOINT_FILE_H_
#define RUNDLET_CLIENT_STORE_CHECKPOINT_FILE_H_

#include <optional>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/store/store_home.h"
#include "core/evidence/checkpoint.h"
#include "core/evidence/merkle.h"

namespace rundlet::client {

// The last checkpoint of the server that held, in a file of its own beside the book: the key that
// the server had when it was first asked, the edge of the tree up to there, and the note.
struct SavedCheckpoint {
  evidence::PublicKey key;
  evidence::Frontier edge;
  std::string note;

  std::string ToText() const;
  // DataLoss: it is no such text, or the note is not signed by the key.
  static absl::StatusOr<SavedCheckpoint> FromText(absl::string_view text);
};

// Nothing where there is none yet. DataLoss names the file.
absl::StatusOr<std::optional<SavedCheckpoint>> ReadSavedCheckpoint(const StoreHome& home);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_CHECKPOINT_FILE_H_

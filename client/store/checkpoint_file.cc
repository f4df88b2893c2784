#include "client/store/checkpoint_file.h"

#include <utility>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/base/file.h"

namespace rundlet::client {

std::string SavedCheckpoint::ToText() const {
  return absl::StrCat(evidence::PrintKey(key), "\n", absl::Base64Escape(edge.ToBytes()), "\n",
                      note);
}

absl::StatusOr<SavedCheckpoint> SavedCheckpoint::FromText(absl::string_view text) {
  const std::vector<absl::string_view> parts = absl::StrSplit(text, absl::MaxSplits('\n', 2));
  const absl::Status damaged = absl::DataLossError("it holds no checkpoint");
  if (parts.size() != 3) return damaged;
  std::string edge_bytes;
  const auto key = evidence::ReadKey(parts[0]);
  if (!key.ok() || !absl::Base64Unescape(parts[1], &edge_bytes)) return damaged;
  auto edge = evidence::Frontier::FromBytes(edge_bytes);
  const auto checkpoint = evidence::OpenCheckpoint(parts[2], *key);
  if (!edge.ok() || !checkpoint.ok() || checkpoint->size != edge->size() ||
      checkpoint->root != edge->Root())
    return damaged;
  return SavedCheckpoint{.key = *key, .edge = *std::move(edge), .note = std::string(parts[2])};
}

absl::StatusOr<std::optional<SavedCheckpoint>> ReadSavedCheckpoint(const StoreHome& home) {
  const auto text = ReadFile(home.checkpoint());
  if (absl::IsNotFound(text.status())) return std::nullopt;
  if (!text.ok()) return text.status();
  auto saved = SavedCheckpoint::FromText(*text);
  if (!saved.ok()) {
    return absl::DataLossError(
        absl::StrCat(home.checkpoint(), ": ", saved.status().message(),
                     ": move it away, and the next sync begins with what the server signs then"));
  }
  return *std::move(saved);
}

}  // namespace rundlet::client

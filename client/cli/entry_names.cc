#include "client/cli/entry_names.h"

#include <algorithm>
#include <vector>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr size_t kLeastCharacters = 4;

}  // namespace

absl::StatusOr<StoredEntry> FindEntry(Cellar& cellar, absl::string_view word) {
  const std::string wanted = absl::AsciiStrToLower(word);
  if (const auto id = Uuid::Parse(wanted); id.ok()) return cellar.store.Find(*id);
  const bool hexadecimal = std::all_of(wanted.begin(), wanted.end(),
                                       [](char c) { return absl::ascii_isxdigit(c) || c == '-'; });
  if (wanted.size() < kLeastCharacters || !hexadecimal) {
    return absl::InvalidArgumentError(absl::StrCat(
        "'", word,
        "' is no entry: write the last characters of its id, four or more, as in: rundlet log"));
  }
  std::vector<Uuid> found;
  const auto look_at = [&](const Uuid& id) {
    if (absl::EndsWith(id.ToString(), wanted) &&
        std::find(found.begin(), found.end(), id) == found.end()) {
      found.push_back(id);
    }
  };
  const Sequence& sequence = cellar.fold->sequence();
  for (RowId row = 0; row < sequence.rows(); ++row) look_at(sequence.row(row).id);
  const auto returned = cellar.store.Returned();
  if (!returned.ok()) return returned.status();
  for (const StoredEntry& entry : *returned) look_at(entry.id);

  if (found.empty())
    return absl::NotFoundError(absl::StrCat("no entry ends in '", word, "'. See: rundlet log"));
  if (found.size() == 1) return cellar.store.Find(found.front());
  return absl::FailedPreconditionError(absl::StrCat(
      "several entries end in '", word, "': ",
      absl::StrJoin(found, ", ",
                    [](std::string* out, const Uuid& id) { absl::StrAppend(out, ShortId(id)); }),
      ". Write more of the one that is meant"));
}

}  // namespace rundlet::client

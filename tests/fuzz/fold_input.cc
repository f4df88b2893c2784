#include "tests/fuzz/fold_input.h"

#include <algorithm>

#include "absl/container/flat_hash_set.h"
#include "core/entry/entry.h"
#include "core/fold/fold.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/describe.h"

namespace rundlet::testing {
namespace {

constexpr size_t kMostEntries = 2'000;  // so that no single input takes long

// As a device or server takes it: what is newer than this build is kept too.
bool Read(const std::string& bytes, v1::Entry* entry) {
  const absl::StatusOr<v1::Entry> parsed = ParseEntry(bytes);
  if (parsed.ok()) {
    *entry = *parsed;
    return true;
  }
  return parsed.status().code() == absl::StatusCode::kUnimplemented &&
         entry->ParseFromString(bytes);
}

void FoldOneByOne(const std::vector<v1::Entry>& entries, Fold& fold) {
  for (size_t i = 0; i < entries.size(); ++i) {
    fold.Insert(entries[i]);
    if (i % 3 == 2) fold.Settle();
  }
  fold.Settle();
}

}  // namespace

std::string JoinEntries(const std::vector<std::string>& entries) {
  std::string input;
  for (const std::string& entry : entries) {
    input.push_back(static_cast<char>(entry.size() & 0xff));
    input.push_back(static_cast<char>(entry.size() >> 8 & 0xff));
    input += entry;
  }
  return input;
}

std::vector<std::string> SplitEntries(absl::string_view input) {
  std::vector<std::string> entries;
  while (input.size() >= 2 && entries.size() < kMostEntries) {
    const size_t size = static_cast<uint8_t>(input[0]) | static_cast<uint8_t>(input[1]) << 8;
    input.remove_prefix(2);
    entries.emplace_back(input.substr(0, size));
    input.remove_prefix(std::min(size, input.size()));
  }
  return entries;
}

FoldedInput FoldInput(absl::string_view input) {
  FoldedInput result;
  std::vector<v1::Entry> entries;
  absl::flat_hash_set<std::string> ids;
  for (const std::string& bytes : SplitEntries(input)) {
    v1::Entry entry;
    if (!Read(bytes, &entry)) continue;
    // Two entries of one id are not a set; the server returns the second.
    if (ids.insert(entry.entry_id()).second) entries.push_back(std::move(entry));
  }
  result.read = entries.size();
  Fold fold;
  FoldOneByOne(entries, fold);
  result.moved = fold.state().movements().size();
  result.status = AuditFold(fold);
  if (!result.status.ok()) return result;
  Fold other;
  std::reverse(entries.begin(), entries.end());
  FoldOneByOne(entries, other);
  if (other.StateDigest() != fold.StateDigest()) {
    result.status = absl::InternalError("the order of arrival matters:\n--- one\n" +
                                        DescribeAll(fold) + "--- other\n" + DescribeAll(other));
  }
  return result;
}

}  // namespace rundlet::testing

#include "client/cli/near.h"

#include <algorithm>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

// One letter too many, too few, wrong, or two swapped.
bool IsOneSlipAway(absl::string_view a, absl::string_view b) {
  if (a.size() > b.size()) std::swap(a, b);
  if (b.size() - a.size() > 1) return false;
  size_t i = 0;
  while (i < a.size() && a[i] == b[i]) ++i;
  if (a.size() != b.size()) return a.substr(i) == b.substr(i + 1);
  if (i == a.size() || a.substr(i + 1) == b.substr(i + 1)) return true;
  return i + 1 < a.size() && a[i] == b[i + 1] && a[i + 1] == b[i] &&
         a.substr(i + 2) == b.substr(i + 2);
}

}  // namespace

std::string Enumerate(const std::vector<std::string>& words, absl::string_view between,
                      absl::string_view before_last) {
  std::string text;
  for (size_t i = 0; i < words.size(); ++i) {
    absl::StrAppend(&text, i == 0 ? "" : i + 1 == words.size() ? before_last : between, words[i]);
  }
  return text;
}

std::string NearWords(const std::vector<std::string>& words, absl::string_view word) {
  std::vector<std::string> near;
  for (const std::string& candidate : words) {
    const bool begins = word.size() >= 2 && absl::StartsWith(candidate, word);
    if ((begins || IsOneSlipAway(candidate, word)) &&
        std::find(near.begin(), near.end(), candidate) == near.end()) {
      near.push_back(candidate);
    }
  }
  return Enumerate(near);
}

std::string Sentences(absl::string_view first, absl::string_view second) {
  const bool ends = !first.empty() && (first.back() == '?' || first.back() == '.');
  return absl::StrCat(first, ends ? " " : ". ", second);
}

}  // namespace rundlet::client

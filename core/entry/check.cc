#include "core/entry/check.h"

#include "absl/strings/str_cat.h"
#include "core/base/uuid.h"

namespace rundlet {
namespace {

// The nil id stands for "none" inside the fold, so nothing may be called by it.
bool IsId(absl::string_view id) {
  return id.size() == Uuid::kSize && id.find_first_not_of('\0') != absl::string_view::npos;
}

}  // namespace

void Checker::Need(bool holds, absl::string_view what) {
  if (holds || !status_.ok()) return;
  status_ = absl::InvalidArgumentError(absl::StrCat(kind_, ": needs ", what));
}

void Checker::NeedId(absl::string_view id, absl::string_view what) {
  if (!status_.ok() || IsId(id)) return;
  Need(false, absl::StrCat("the id of ", what, ", 16 bytes that are not all zero"));
}

void Checker::OptionalId(absl::string_view id, absl::string_view what) {
  if (!status_.ok() || id.empty() || IsId(id)) return;
  Need(false, absl::StrCat("the id of ", what, " to be empty or of 16 bytes, not all zero"));
}

void Checker::NeedAmount(int64_t value, int64_t most, absl::string_view what) {
  if (!status_.ok() || (value >= 1 && value <= most)) return;
  Need(false, absl::StrCat(what, " between 1 and ", most, ", not ", value));
}

void Checker::AtMost(int64_t value, int64_t most, absl::string_view what) {
  if (!status_.ok() || (value >= 0 && value <= most)) return;
  Need(false, absl::StrCat(what, " between 0 and ", most, ", not ", value));
}

}  // namespace rundlet

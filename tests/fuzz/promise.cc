#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {

absl::Status Promise(bool holds, absl::string_view promise, absl::string_view got) {
  if (holds) return absl::OkStatus();
  return absl::InternalError(absl::StrCat("promised: ", promise, "; got: ", absl::CHexEscape(got)));
}

}  // namespace rundlet::testing

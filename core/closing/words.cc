#include "core/closing/words.h"

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/quantity/when.h"

namespace rundlet::closing {

std::string UntilText(const Fold& fold, RowId row, int64_t until_us) {
  const When until{.at_us = until_us, .utc_offset_min = fold.sequence().row(row).utc_offset_min};
  const std::string text = FormatWhen(until);
  if (!absl::EndsWith(text, " 00:00")) return absl::StrCat("before ", text);
  return absl::StrCat("up to the end of ", FormatWhenDay({.at_us = until_us - 1,
                                                          .utc_offset_min = until.utc_offset_min}));
}

std::string WhoText(const Fold& fold, RowId row) {
  const Row& entry = fold.sequence().row(row);
  return absl::StrCat(
      fold.directory().NameOf(entry.author, fold.sequence()), " on ",
      FormatWhen({.at_us = entry.effective_at_us, .utc_offset_min = entry.utc_offset_min}));
}

std::string RefusalText(const Fold& fold, const Periods& periods) {
  const Closing& last = periods.standing().back();
  return absl::StrCat("the book is closed ", UntilText(fold, last.row, last.until_us), ", by ",
                      WhoText(fold, last.row),
                      ": date it after that, or ask a master to reopen it with a reason (rundlet "
                      "period reopen)");
}

}  // namespace rundlet::closing

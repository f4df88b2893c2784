#ifndef RUNDLET_CLIENT_COMMANDS_CLOSING_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_CLOSING_WORDS_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "client/cellar/closed_book.h"
#include "core/reports/period.h"
#include "core/reports/report.h"

namespace rundlet::client {

// What people are told of closed periods, by `rundlet period` and over every report of one.

// "closed up to the end of 2025-12-31, by Maud Ferrier on 2026-01-10 09:00 (3f2a9c01)".
std::string ClosingText(const Fold& fold, const closing::Closing& closing);
// "reopened from 2025-12-01 00:00 on, by ... (...): a delivery was forgotten".
std::string ReopeningText(const Fold& fold, const closing::Reopening& reopening);

// What the check of a closing found: a sentence, and one for each entry that has changed it, the
// first ten. Loud where the past is not as it was closed.
absl::StatusOr<std::vector<std::string>> CheckTexts(Cellar& cellar, const ClosingCheck& check);

// Says over a report which part of its period is closed, since when and by whom, whether it is as
// it was when it was closed, and what of it was closed once and is open again. Nothing where no
// closing touches the period.
absl::Status TellClosings(Cellar& cellar, const reports::Period& period, reports::Sink& sink);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_CLOSING_WORDS_H_

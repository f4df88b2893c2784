#include "client/commands/closing_words.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/closing/words.h"
#include "core/quantity/when.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

using closing::Closing;
using closing::Reopening;
using State = ClosingCheck::State;

constexpr size_t kCausesShown = 10;

std::string EntryMark(const Fold& fold, RowId row) {
  return absl::StrCat("(", ShortId(fold.sequence().row(row).id), ")");
}

std::string WhatWasFound(const ClosingCheck& check) {
  switch (check.state) {
    case State::kSame:
      return "it is as it was then";
    case State::kRenamed:
      return "what was done is as it was then; since then something else was said of the things in "
             "it:";
    case State::kCut:
      return check.causes.empty()
                 ? "a part at its end was reopened, so the digest of the closing says nothing of "
                   "the rest; nothing has come into it since"
                 : "CHANGED SINCE IT WAS CLOSED, by:";
    case State::kChanged:
      return check.causes.empty()
                 ? "NOT AS IT WAS CLOSED, though no entry since then reaches into it: another "
                   "version of rundlet may work it out differently; compare with a device that has "
                   "the version of then"
                 : "CHANGED SINCE IT WAS CLOSED, by:";
  }
  return "";
}

// The closing that knows best what a report of a period shows: the first that holds all of it, or
// else the last; nullptr where all of it is open.
const Closing* ClosingOfReport(const closing::Periods& periods, const reports::Period& period) {
  if (!periods.IsClosed(period.from_us)) return nullptr;
  const Closing* whole = periods.ClosingOf(period.before_us - 1);
  return whole != nullptr ? whole : &periods.standing().back();
}

absl::Status TellCheck(Cellar& cellar, const Closing& closing, reports::Sink& sink) {
  const auto check = CheckClosing(cellar, closing);
  if (!check.ok()) return check.status();
  const auto texts = CheckTexts(cellar, *check);
  if (!texts.ok()) return texts.status();
  for (const std::string& text : *texts) sink.Head(text);
  return absl::OkStatus();
}

}  // namespace

std::string ClosingText(const Fold& fold, const Closing& closing) {
  return absl::StrCat("closed ", closing::UntilText(fold, closing.row, closing.until_us), ", by ",
                      closing::WhoText(fold, closing.row), " ", EntryMark(fold, closing.row));
}

std::string ReopeningText(const Fold& fold, const Reopening& reopening) {
  const When from{.at_us = reopening.from_us,
                  .utc_offset_min = fold.sequence().row(reopening.row).utc_offset_min};
  const v1::Entry* entry = fold.records().Find(reopening.row);
  return absl::StrCat("reopened from ", FormatWhen(from), " on, by ",
                      closing::WhoText(fold, reopening.row), " ", EntryMark(fold, reopening.row),
                      ": ", entry == nullptr ? "" : entry->period_reopened().reason());
}

absl::StatusOr<std::vector<std::string>> CheckTexts(Cellar& cellar, const ClosingCheck& check) {
  std::vector<std::string> texts = {WhatWasFound(check)};
  const size_t shown = std::min(check.causes.size(), kCausesShown);
  for (size_t i = 0; i < shown; ++i) {
    const RowId row = check.causes[i];
    const auto entry = EntryOfRow(cellar, row);
    if (!entry.ok()) return entry.status();
    texts.push_back(absl::StrCat("  ", ShortId(cellar.fold->sequence().row(row).id), "  ",
                                 closing::WhoText(*cellar.fold, row), ": ",
                                 Summarise(*cellar.fold, *entry)));
  }
  if (shown < check.causes.size())
    texts.push_back(
        absl::StrCat("  and ", check.causes.size() - shown, " more: rundlet log --all"));
  return texts;
}

absl::Status TellClosings(Cellar& cellar, const reports::Period& period, reports::Sink& sink) {
  const auto periods = PeriodsOf(cellar);
  if (!periods.ok()) return periods.status();
  const Fold& fold = *cellar.fold;
  if (const Closing* closing = ClosingOfReport(*periods, period); closing != nullptr) {
    sink.Head(ClosingText(fold, *closing));
    if (absl::Status status = TellCheck(cellar, *closing, sink); !status.ok()) return status;
  }
  for (const Reopening& reopening : periods->reopenings()) {
    if (reopening.from_us >= period.before_us || reopening.until_us <= period.from_us) continue;
    const Closing was{.row = reopening.closing, .until_us = reopening.until_us};
    sink.Head(absl::StrCat("had been ", ClosingText(fold, was)));
    sink.Head(ReopeningText(fold, reopening));
    // What is closed again was told of above.
    if (periods->until_us() >= std::min(reopening.until_us, period.before_us)) continue;
    if (absl::Status status = TellCheck(cellar, was, sink); !status.ok()) return status;
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client

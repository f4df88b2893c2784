#include "absl/strings/str_cat.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"

namespace rundlet {
namespace {

// "; 18 L were taken on 2026-03-02 by Ada (entry 3f2a9c01)", where an earlier entry explains it.
std::string TakenBy(const Fold& fold, const Held& held) {
  if (held.taken_by == kNone) return "";
  const Row& by = fold.sequence().row(held.taken_by);
  return absl::StrCat("; entry ", ShortId(by.id), " of ",
                      fold.directory().NameOf(by.author, fold.sequence()),
                      " was the last to take from it");
}

bool MayLift(v1::HeldReason reason) {
  return reason == v1::HELD_REASON_UNKNOWN_THING || reason == v1::HELD_REASON_EMPTY_VESSEL ||
         reason == v1::HELD_REASON_NOT_ENOUGH_WINE || reason == v1::HELD_REASON_NOT_ENOUGH_BOTTLES;
}

}  // namespace

std::string HeldEvidence(const Fold& fold, const Held& held) {
  const std::string subject = fold.directory().NameOf(held.subject, fold.sequence());
  switch (held.reason) {
    case v1::HELD_REASON_UNKNOWN_THING:
      if (fold.directory().FindFormer(held.subject) != nullptr)
        return absl::StrCat("the registration of ", subject, " counts no longer");
      return absl::StrCat("nobody has registered ", subject, " yet");
    case v1::HELD_REASON_EMPTY_VESSEL:
      return absl::StrCat(subject, " is empty at that time", TakenBy(fold, held));
    case v1::HELD_REASON_NOT_ENOUGH_WINE:
      return absl::StrCat("needs ", FormatVolume(held.needed), ", but ", subject, " holds ",
                          FormatVolume(held.there), " at that time", TakenBy(fold, held));
    case v1::HELD_REASON_MORE_ARRIVED:
      return absl::StrCat(FormatVolume(held.needed), " arrived, but only ",
                          FormatVolume(held.there), " drawn");
    case v1::HELD_REASON_NOT_ENOUGH_BOTTLES:
      return absl::StrCat(
          "needs ", held.needed, held.needed == 1 ? " bottle" : " bottles", ", but ",
          held.subject == kNoHandle
              ? absl::StrCat(held.there, held.there == 1 ? " stands" : " stand", " opened")
              : absl::StrCat(subject, " has ", held.there),
          " at that time", TakenBy(fold, held));
    case v1::HELD_REASON_OTHER_AMENDMENT:
      return "another amendment of the same entry counts instead";
    case v1::HELD_REASON_WRONG_THING:
      return absl::StrCat(subject, " is another kind of thing");
    case v1::HELD_REASON_TOO_MUCH:
      return absl::StrCat("is more than the book can keep of ", subject);
    default:
      return "cannot be applied at its place";
  }
}

std::string HeldSentence(const Fold& fold, const Held& held) {
  const std::string id = ShortId(fold.sequence().row(held.row).id);
  std::string text = HeldEvidence(fold, held);
  if (MayLift(held.reason)) {
    absl::StrAppend(
        &text,
        ". It counts by itself once the missing entry is there; if it is wrong: rundlet amend ", id,
        " -- ..., or rundlet void ", id);
  } else {
    absl::StrAppend(&text, ". To clear it away: rundlet void ", id);
  }
  return text;
}

}  // namespace rundlet

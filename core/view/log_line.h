#ifndef RUNDLET_CORE_VIEW_LOG_LINE_H_
#define RUNDLET_CORE_VIEW_LOG_LINE_H_

#include <string>
#include <vector>

#include "core/fold/fold.h"
#include "rundlet/v1/board.pb.h"

namespace rundlet {

// One entry as people read it. `entry` is that at `position` of the fold's order, read from its
// bytes.
v1::LogLine MakeLogLine(const Fold& fold, size_t position, const v1::Entry& entry);

// What an entry says, in one sentence without who and when: "racked 18.5 L from C1 into C2, the
// rest to lees".
std::string Summarise(const Fold& fold, const v1::Entry& entry);

// A held entry with its evidence in a sentence, which ends with what can be done.
v1::HeldLine MakeHeldLine(const Fold& fold, const Held& held, const v1::Entry& entry);

// The evidence alone: "needs 5 L, but C1 holds 2 L at that time ...".
std::string HeldEvidence(const Fold& fold, const Held& held);
// The evidence, and the command that mends it.
std::string HeldSentence(const Fold& fold, const Held& held);

// The last eight characters of an entry's id: enough to tell entries of one cellar apart, and short
// enough to type. (The first characters of a version 7 id are its time, which entries written
// together share.)
std::string ShortId(const Uuid& entry_id);

// The positions of entries that name a thing, or in which it took part (for a lot: those in whose
// vessels it was).
std::vector<size_t> PositionsAbout(const Fold& fold, Handle thing);

// Names of accounts, readings, treatments as people say them: "lees", "free SO2", "degassing".
absl::string_view AccountWord(v1::Account account);
absl::string_view ReadingWord(v1::ReadingKind kind);
absl::string_view TreatmentWord(v1::TreatmentKind kind);
// The words by which commands and plans name treatments: "degas", "punch-down".
struct TreatmentVerb {
  absl::string_view verb;
  v1::TreatmentKind kind;
};
absl::Span<const TreatmentVerb> TreatmentVerbs();
absl::string_view AspectWord(v1::Aspect aspect);
absl::string_view InflowWord(v1::InflowKind kind);

// Amounts by the metric units, as short as they can be without losing more than the scale can show.
std::string FormatAmountOf(v1::Dimension dimension, int64_t base);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_LOG_LINE_H_

#include "core/lineage/trace.h"

#include "core/lineage/trace_parts.h"
#include "core/view/movement_words.h"
#include "core/view/names.h"

namespace rundlet {

void AddSteps(const Fold& fold, const std::vector<size_t>& movements, v1::Trace& trace) {
  for (const size_t index : movements) {
    const Movement& m = fold.state().movements()[index];
    const Row& row = fold.sequence().row(m.row);
    v1::TraceStep& step = *trace.add_steps();
    step.set_entry_id(row.id.ToString());
    step.set_at_us(row.effective_at_us);
    step.set_utc_offset_min(row.utc_offset_min);
    const auto* field = v1::Entry::descriptor()->FindFieldByNumber(row.body);
    step.set_kind(field == nullptr ? "unknown" : field->name());
    MovementWords words = WordsOf(fold, m);
    step.set_from(std::move(words.from));
    step.set_to(std::move(words.to));
    step.set_amount(m.amount);
    step.set_commodity(std::move(words.what));
    step.set_author(NameOf(fold, row.author));
  }
}

absl::StatusOr<v1::Trace> MakeTrace(const Fold& fold, Handle subject, v1::TraceDirection direction,
                                    ReadEntry read, const TraceOptions& options) {
  absl::StatusOr<v1::Trace> trace = direction == v1::TRACE_DIRECTION_FORWARD
                                        ? TraceForward(fold, subject, options)
                                        : TraceBack(fold, subject, read, options);
  if (trace.ok()) {
    trace->set_direction(direction == v1::TRACE_DIRECTION_FORWARD ? v1::TRACE_DIRECTION_FORWARD
                                                                  : v1::TRACE_DIRECTION_BACK);
    trace->set_subject_id(fold.interner().id(subject).ToString());
    trace->set_subject_name(NameOf(fold, subject));
  }
  return trace;
}

}  // namespace rundlet

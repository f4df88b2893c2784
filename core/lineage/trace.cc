#include "core/lineage/trace.h"

#include "core/lineage/trace_parts.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

std::string PlaceName(const Fold& fold, Place place) {
  switch (place.kind()) {
    case Place::Kind::kOutside:
      return std::string(AccountWord(place.account()));
    case Place::Kind::kStock:
      return "store";
    default:
      return NameOf(fold, place.handle());
  }
}

}  // namespace

void AddSteps(const Fold& fold, const std::vector<size_t>& movements, v1::Trace& trace) {
  for (const size_t index : movements) {
    const Movement& m = fold.state().movements()[index];
    const Row& row = fold.sequence().row(m.row);
    const CommodityInfo& what = fold.commodities().info(m.commodity);
    v1::TraceStep& step = *trace.add_steps();
    step.set_entry_id(row.id.ToString());
    step.set_at_us(row.effective_at_us);
    step.set_utc_offset_min(row.utc_offset_min);
    const auto* field = v1::Entry::descriptor()->FindFieldByNumber(row.body);
    step.set_kind(field == nullptr ? "unknown" : field->name());
    step.set_from(PlaceName(fold, m.from));
    step.set_to(PlaceName(fold, m.to));
    if (what.kind == CommodityInfo::Kind::kMaterial && m.to_parcel != kNone) {
      step.set_to(NameOf(fold, fold.state().parcels()[m.to_parcel].place));
    }
    if (m.to == Place::Outside(v1::ACCOUNT_GLASS) && m.to_parcel != kNone) {
      step.set_to(NameOf(fold, fold.state().parcels()[m.to_parcel].place));
    }
    step.set_amount(m.amount);
    step.set_commodity(what.kind == CommodityInfo::Kind::kWine ? "wine"
                                                               : NameOf(fold, what.handle));
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

#include "core/reports/dossier.h"

#include <algorithm>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "core/lineage/trace.h"
#include "core/reports/groups.h"
#include "core/reports/names.h"
#include "core/rules/findings.h"
#include "core/view/log_line.h"

namespace rundlet::reports {
namespace {

using EntryOf = absl::FunctionRef<absl::StatusOr<v1::Entry>(const Uuid&)>;

class Dossier {
 public:
  Dossier(const Fold& fold, Handle lot, EntryOf entry_of, Sink& sink)
      : fold_(fold), lot_(lot), entry_of_(entry_of), sink_(sink) {
    fold.directory().ForEach(v1::Thing::kBottling, [&](Handle run, const Directory::Known&) {
      if (LotOfBottling(fold, run) == lot) runs_.push_back(run);
    });
    std::sort(runs_.begin(), runs_.end(),
              [&](Handle a, Handle b) { return fold.interner().id(a) < fold.interner().id(b); });
  }

  void TellLot() {
    const Directory::Known* known = fold_.directory().Find(lot_);
    if (known == nullptr) return;
    const v1::Lot& lot = known->thing.lot();
    const auto say = [&](absl::string_view word, absl::string_view what) {
      if (!what.empty()) Row("lot", absl::StrCat(word, what));
    };
    say("", lot.name());
    say("class: ", ClassOfLot(fold_, lot_));
    say("made from: ", lot.made_from());
    say("fruit: ", lot.fruit());
    say("made for: ", lot.made_for());
    if (lot.organic()) Row("lot", "organic");
    if (known->retired) Row("lot", "finished: retired");
  }

  absl::Status TellEnds(const char* part, v1::TraceDirection direction) {
    const auto trace = MakeTrace(fold_, lot_, direction, entry_of_);
    if (absl::IsFailedPrecondition(trace.status())) {  // nothing there to be traced
      Row(part, "nothing by what is in the book");
      return absl::OkStatus();
    }
    if (!trace.ok()) return trace.status();
    for (const v1::TraceEnd& end : trace->ends()) {
      std::string what = end.description();
      if (end.bottles() > 0) absl::StrAppend(&what, ", ", end.bottles(), " bottles");
      if (!end.supplier().empty()) absl::StrAppend(&what, ", from ", end.supplier());
      if (!end.supplier_lot().empty()) absl::StrAppend(&what, ", their lot ", end.supplier_lot());
      Cell amount;
      if (end.amount().base() > 0)
        amount = Cell::Amount(end.amount().dimension(), end.amount().base());
      sink_.Row({Cell::Text(part), {}, Cell::Text(what), amount, {}, {}, {}});
    }
    return absl::OkStatus();
  }

  absl::Status TellEntries() {
    std::vector<size_t> positions = PositionsAbout(fold_, lot_);
    for (const Handle run : runs_) {
      const std::vector<size_t> more = PositionsAbout(fold_, run);
      positions.insert(positions.end(), more.begin(), more.end());
    }
    std::sort(positions.begin(), positions.end());
    positions.erase(std::unique(positions.begin(), positions.end()), positions.end());
    for (const size_t position : positions) {
      const rundlet::Row& row = fold_.sequence().row(fold_.sequence().at(position));
      const auto entry = entry_of_(row.id);
      if (!entry.ok()) return entry.status();
      const v1::LogLine line = MakeLogLine(fold_, position, *entry);
      sink_.Row(
          {Cell::Text("entry"),
           Cell::Moment(WhenOf(row)),
           Cell::Text(line.note().empty() ? line.summary()
                                          : absl::StrCat(line.summary(), " (", line.note(), ")")),
           {},
           Cell::Text(line.author()),
           Cell::Text(ShortId(row.id)),
           Cell::Text(line.state() == "counts" ? "" : line.state())});
    }
    return absl::OkStatus();
  }

  void TellFindings(int64_t now_us) {
    const rules::Inspector inspector(fold_, now_us, rules::Reach::kAll);
    std::vector<rules::Finding> findings = inspector.Of(lot_);
    if (findings.empty()) Row("finding", "none by what is known");
    for (const rules::Finding& finding : findings) {
      Row("finding", absl::StrCat(rules::Name(finding.severity), ": ", finding.text, " [",
                                  finding.source, "]"));
    }
  }

 private:
  void Row(absl::string_view part, absl::string_view what) {
    sink_.Row({Cell::Text(part), {}, Cell::Text(what), {}, {}, {}, {}});
  }

  const Fold& fold_;
  const Handle lot_;
  const EntryOf entry_of_;
  Sink& sink_;
  std::vector<Handle> runs_;
};

}  // namespace

absl::Status TellDossier(const Fold& fold, Handle lot, int64_t now_us, EntryOf entry_of,
                         Sink& sink) {
  sink.Begin("dossier", {{"part", "Part"},
                         {"at", "When"},
                         {"what", "What"},
                         {"amount", "Amount", true},
                         {"who", "Who"},
                         {"entry", "Entry"},
                         {"state", "State"}});
  Dossier dossier(fold, lot, entry_of, sink);
  dossier.TellLot();
  if (absl::Status status = dossier.TellEnds("origin", v1::TRACE_DIRECTION_BACK); !status.ok())
    return status;
  if (absl::Status status = dossier.TellEntries(); !status.ok()) return status;
  if (absl::Status status = dossier.TellEnds("is in", v1::TRACE_DIRECTION_FORWARD); !status.ok())
    return status;
  dossier.TellFindings(now_us);
  sink.Note("findings rest on rules whose sources they name; check with your authority");
  return absl::OkStatus();
}

}  // namespace rundlet::reports

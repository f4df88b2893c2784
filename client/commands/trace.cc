// rundlet trace: what went into something, and where something went.
#include "core/lineage/trace.h"

#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/supplies.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

class TraceCommand : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("direction", direction_, "back: what is in it; forward: where it went")
        ->type_name("back|forward")
        ->required();
    app.add_option("thing", thing_,
                   "a vessel, lot or bottling; forward also a material or packet; or a supplier, "
                   "or a supplier's lot")
        ->type_name("VESSEL|LOT|BOTTLING|MATERIAL|PACKET|TEXT")
        ->required();
    app.add_flag("--steps", steps_, "also each movement on the way");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    v1::TraceDirection direction = v1::TRACE_DIRECTION_UNSPECIFIED;
    if (direction_ == "back") direction = v1::TRACE_DIRECTION_BACK;
    if (direction_ == "forward") direction = v1::TRACE_DIRECTION_FORWARD;
    if (direction == v1::TRACE_DIRECTION_UNSPECIFIED)
      return Usage("write: rundlet trace back THING, or trace forward THING");
    const auto meant = FindMeant(cellar, thing_);
    if (!meant.ok()) return meant.status();
    if (meant->thing == kNoHandle) return List(meant->supplies, session);
    const auto trace = MakeTrace(*cellar.fold, meant->thing, direction,
                                 [&](const Uuid& id) -> absl::StatusOr<v1::Entry> {
                                   const auto stored = cellar.store.Find(id);
                                   if (!stored.ok()) return stored.status();
                                   return client::ReadEntry(stored->bytes);
                                 },
                                 {.steps = steps_ || json()});
    if (!trace.ok()) return trace.status();
    if (json()) {
      session.out() << ProtoJson(*trace) << "\n";
    } else {
      Print(*trace, session);
    }
    return absl::OkStatus();
  }

 private:
  void Print(const v1::Trace& trace, Session& session) const;
  absl::Status List(const Supplies& supplies, Session& session) const {
    session.out() << (json() ? JsonOfSupplies(supplies) + "\n"
                             : TextOfSupplies(supplies, session.columns()));
    return absl::OkStatus();
  }

  std::string direction_, thing_;
  bool steps_ = false;
};

void TraceCommand::Print(const v1::Trace& trace, Session& session) const {
  if (steps_) {
    Table steps({"When", "Entry", "What", "Of", ">Volume", "From", "To", "Who"});
    for (const v1::TraceStep& step : trace.steps()) {
      const auto id = Uuid::Parse(step.entry_id());
      steps.Add({FormatWhen({.at_us = step.at_us(), .utc_offset_min = step.utc_offset_min()}),
                 id.ok() ? ShortId(*id) : "", step.kind(), step.commodity(),
                 step.commodity() == "wine" ? FormatVolume(step.amount()) : "", step.from(),
                 step.to(), step.author()});
    }
    session.out() << steps.Print(session.columns()) << "\n";
  }
  const bool back = trace.direction() == v1::TRACE_DIRECTION_BACK;
  Table ends({back ? "In it" : "Where it is", ">Amount", ">Bottles", "Supplier", "Supplier's lot"});
  for (const v1::TraceEnd& end : trace.ends()) {
    ends.Add({end.description(),
              end.amount().base() == 0
                  ? ""
                  : FormatAmountOf(end.amount().dimension(), end.amount().base()),
              end.bottles() == 0 ? "" : absl::StrCat(end.bottles()), end.supplier(),
              end.supplier_lot()});
  }
  session.out() << ends.Print(session.columns());
}

}  // namespace

std::unique_ptr<Command> MakeTrace() { return std::make_unique<TraceCommand>(); }

}  // namespace rundlet::client

// Where something went.
#include <algorithm>
#include <map>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/lineage/trace_parts.h"
#include "core/lineage/whereabouts.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet {
namespace {

// Where the bottles of some runs are, in words, and how many of them are in bins.
class BottlePlaces {
 public:
  // One pass over what is in bins and over the kinds of bottles there are, for all of `runs`.
  BottlePlaces(const Fold& fold, const std::map<Handle, int64_t>& runs) : fold_(fold) {
    if (runs.empty()) return;
    for (const Balance& balance : fold.state().balances()) {
      const CommodityInfo& info = fold.commodities().info(balance.commodity);
      if (info.kind != CommodityInfo::Kind::kBottles || balance.amount == 0 ||
          balance.place.kind() == Place::Kind::kOutside || !runs.contains(info.handle))
        continue;
      of_[info.handle].lying.push_back(
          absl::StrCat(balance.amount, " x ", FormatAmountOf(v1::DIMENSION_VOLUME, info.measure),
                       " in ", NameOf(fold, balance.place.handle())));
      of_[info.handle].bottles += balance.amount;
    }
    for (Commodity c = 0; c < fold.commodities().size(); ++c) {
      const CommodityInfo& info = fold.commodities().info(c);
      if (info.kind == CommodityInfo::Kind::kBottles && runs.contains(info.handle))
        CountGone(c, of_[info.handle].gone);
    }
  }

  std::string Words(Handle bottling) {
    Of& of = of_[bottling];
    std::sort(of.lying.begin(), of.lying.end());
    for (const auto& [word, count] : of.gone) {
      if (count != 0) of.lying.push_back(absl::StrCat(count, " ", word));
    }
    return absl::StrJoin(of.lying, ", ");
  }
  int64_t Bottles(Handle bottling) { return of_[bottling].bottles; }

 private:
  struct Of {
    std::vector<std::string> lying;
    std::map<std::string, int64_t> gone;  // by account
    int64_t bottles = 0;
  };

  void CountGone(Commodity commodity, std::map<std::string, int64_t>& gone) const {
    const Log<Movement>& movements = fold_.state().movements();
    for (uint32_t i = fold_.state().last_of(commodity); i != kNone; i = movements[i].earlier_from) {
      const Movement& m = movements[i];
      if (m.to.kind() == Place::Kind::kOutside)
        gone[std::string(AccountWord(m.to.account()))] += m.amount;
      if (m.from.kind() == Place::Kind::kOutside && m.from.account() != v1::ACCOUNT_GLASS)
        gone[std::string(AccountWord(m.from.account()))] -= m.amount;
    }
  }

  const Fold& fold_;
  std::map<Handle, Of> of_;
};

class ForwardTracer {
 public:
  explicit ForwardTracer(const Fold& fold) : fold_(fold) {}

  // `dimension`: of the amounts. Whether to say what is no longer here: all is told of what is
  // followed.
  void AddEnds(const Whereabouts& where, v1::Dimension dimension) {
    dimension_ = dimension;
    std::vector<Whereabouts::InVessel> vessels = where.vessels;
    SortByName(vessels, [](const Whereabouts::InVessel& in) { return in.vessel; });
    for (const Whereabouts::InVessel& in : vessels)
      AddEnd(in.vessel, absl::StrCat("vessel ", NameOf(fold_, in.vessel)), in.amount);
    std::map<Handle, int64_t> runs;
    for (const Whereabouts::InGlass& in : where.sessions)
      runs[in.bottling] += in.amount + in.packaging;
    BottlePlaces places(fold_, runs);
    std::vector<std::pair<Handle, int64_t>> by_name(runs.begin(), runs.end());
    SortByName(by_name, [](const std::pair<Handle, int64_t>& run) { return run.first; });
    for (const auto& [run, amount] : by_name) {
      AddEnd(run, absl::StrCat("bottling ", NameOf(fold_, run), ": ", places.Words(run)), amount)
          .set_bottles(places.Bottles(run));
    }
    if (where.entered > where.found) {
      AddEnd(kNoHandle, "no longer here: lees, losses, samples, wine served from the vessel",
             where.entered - where.found);
    }
  }

  v1::Trace& trace() { return trace_; }

 private:
  template <typename T, typename Thing>
  void SortByName(std::vector<T>& all, Thing thing) const {
    std::map<Handle, std::string> names;
    for (const T& one : all) names.try_emplace(thing(one), NameOf(fold_, thing(one)));
    std::sort(all.begin(), all.end(), [&](const T& a, const T& b) {
      const std::string& x = names.at(thing(a));
      const std::string& y = names.at(thing(b));
      return x != y ? x < y : fold_.interner().id(thing(a)) < fold_.interner().id(thing(b));
    });
  }

  v1::TraceEnd& AddEnd(Handle thing, std::string description, int64_t amount) {
    v1::TraceEnd& end = *trace_.add_ends();
    if (thing != kNoHandle) end.set_thing_id(fold_.interner().id(thing).ToString());
    end.set_description(std::move(description));
    end.mutable_amount()->set_dimension(dimension_);
    end.mutable_amount()->set_base(amount);
    return end;
  }

  const Fold& fold_;
  v1::Dimension dimension_ = v1::DIMENSION_VOLUME;
  v1::Trace trace_;
};

}  // namespace

absl::StatusOr<v1::Trace> TraceForward(const Fold& fold, Handle subject,
                                       const TraceOptions& options) {
  switch (fold.directory().kind(subject)) {
    case v1::Thing::kVessel:
    case v1::Thing::kLot:
    case v1::Thing::kMaterial:
    case v1::Thing::kMaterialLot:
      break;
    default:
      return absl::InvalidArgumentError(
          absl::StrCat("only a material, a packet, a lot or a vessel is traced forward; ",
                       NameOf(fold, subject), " is a ", KindWord(fold.directory().kind(subject))));
  }
  const Followed followed = FollowThing(fold, subject);
  const Walk walk = WalkOf(fold, followed);
  if (walk.movements.empty()) {
    return absl::FailedPreconditionError(
        absl::StrCat(NameOf(fold, subject), " has not gone into any wine"));
  }
  ForwardTracer tracer(fold);
  if (options.steps) AddSteps(fold, walk.movements, tracer.trace());
  if (followed.materials.empty()) {
    tracer.AddEnds(FindWhereabouts(fold, followed, walk), v1::DIMENSION_VOLUME);
    return std::move(tracer.trace());
  }
  // What was weighed and what was counted of a material is not added up.
  for (const v1::Dimension dimension :
       {v1::DIMENSION_MASS, v1::DIMENSION_VOLUME, v1::DIMENSION_COUNT}) {
    const Whereabouts where = FindWhereabouts(fold, OfDimension(fold, followed, dimension), walk);
    if (where.entered > 0) tracer.AddEnds(where, dimension);
  }
  return std::move(tracer.trace());
}

}  // namespace rundlet

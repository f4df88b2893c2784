#include "core/reports/recall.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <numeric>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "core/quantity/format.h"
#include "core/quantity/rate.h"
#include "core/reports/names.h"
#include "core/reports/recall_bottles.h"
#include "core/view/log_line.h"
#include "core/view/names.h"
#include "core/view/wire_units.h"

namespace rundlet::reports {
namespace {

// One row, by the names of its columns.
struct Row {
  std::string part, what, where;
  Cell size, bottles, volume, amount, per_bottle, at;
  std::string per_litre, how, who, occasion, entry;
};

class Teller {
 public:
  Teller(const Fold& fold, EntryOfRow entry_of, Sink& sink)
      : fold_(fold), state_(fold.state()), entry_of_(entry_of), sink_(sink) {}

  absl::Status Tell(const Suspect& suspect) {
    suspect_ = suspect.name;
    const Walk walk = WalkOf(fold_, suspect.followed);
    if (suspect.followed.materials.empty()) {
      Start(FindWhereabouts(fold_, suspect.followed, walk), v1::DIMENSION_VOLUME);
      if (absl::Status status = TellOne(suspect, walk, true); !status.ok()) return status;
      return absl::OkStatus();
    }
    // What was weighed and what was counted of a material is not added up.
    bool first = true;
    for (const v1::Dimension dimension :
         {v1::DIMENSION_MASS, v1::DIMENSION_VOLUME, v1::DIMENSION_COUNT}) {
      const Followed some = OfDimension(fold_, suspect.followed, dimension);
      if (some.materials.empty()) continue;
      Suspect part = suspect;
      part.followed = some;
      const Walk its_walk = WalkOf(fold_, some);
      Start(FindWhereabouts(fold_, some, its_walk), dimension);
      if (absl::Status status = TellOne(part, its_walk, first); !status.ok()) return status;
      first = false;
    }
    return absl::OkStatus();
  }

  const std::vector<std::string>& notes() const { return notes_; }

 private:
  void Start(Whereabouts where, v1::Dimension dimension) {
    where_ = std::move(where);
    dimension_ = dimension;
  }

  absl::Status TellOne(const Suspect& suspect, const Walk& walk, bool first) {
    Put({.part = "recalled",
         .what = first ? suspect.about : "the same, in another measure",
         .amount = Amount(where_.entered),
         .how = where_.entered > 0 ? "went into wine" : "has not gone into any wine"});
    TellStock(suspect);
    TellVessels();
    if (absl::Status status = TellRuns(); !status.ok()) return status;
    if (absl::Status status = TellDrawn(walk); !status.ok()) return status;
    if (where_.entered > where_.found) {
      Put({.part = "gone",
           .amount = Amount(where_.entered - where_.found),
           .how = "lees, losses, samples, wine drawn from vessels"});
    }
    return absl::OkStatus();
  }

  void TellStock(const Suspect& suspect) {
    std::map<std::string, Row> rows;
    for (const Commodity c : suspect.followed.materials) {
      const Handle packet = fold_.commodities().info(c).handle;
      if (fold_.directory().kind(packet) != v1::Thing::kMaterialLot) continue;
      const Balance* balance = state_.FindBalance(Place::Stock(), c);
      const int64_t left = balance == nullptr ? 0 : balance->amount;
      rows[NameOf(fold_, packet)] = {.part = "stock",
                                     .what = NameOf(fold_, packet),
                                     .amount = Amount(left),
                                     .how = left > 0 ? "is left" : "nothing is left"};
    }
    for (const auto& [name, row] : rows) Put(row);
  }

  void TellVessels() {
    std::vector<std::pair<std::string, const Whereabouts::InVessel*>> vessels;
    for (const Whereabouts::InVessel& in : where_.vessels)
      vessels.emplace_back(NameOf(fold_, in.vessel), &in);
    std::sort(vessels.begin(), vessels.end());
    for (const auto& [name, in] : vessels) {
      Put({.part = "vessel",
           .what = NameOf(fold_, state_.holding(in->vessel).lot),
           .where = name,
           .volume = Cell::Volume(in->volume_ul),
           .amount = Amount(in->amount),
           .per_litre = Content(in->amount, in->volume_ul)});
    }
  }

  // ---- bottles ----

  absl::Status TellRuns() {
    std::map<std::pair<std::string, Handle>, std::vector<const Whereabouts::InGlass*>> runs;
    for (const Whereabouts::InGlass& in : where_.sessions)
      runs[{NameOf(fold_, in.bottling), in.bottling}].push_back(&in);
    for (const auto& [run, sessions] : runs) {
      std::map<int64_t, Commodity> sizes;  // of the bottles of this run
      for (const Whereabouts::InGlass* in : sessions) TellSession(run.first, *in);
      for (Commodity c = 0; c < fold_.commodities().size(); ++c) {
        const CommodityInfo& info = fold_.commodities().info(c);
        if (info.kind == CommodityInfo::Kind::kBottles && info.handle == run.second)
          sizes[info.measure] = c;
      }
      NoteOtherSessions(run.first, run.second, sessions.size());
      for (const auto& [size_ul, commodity] : sizes) {
        if (absl::Status status = TellBottles(run.first, size_ul, commodity); !status.ok())
          return status;
      }
    }
    return absl::OkStatus();
  }

  void TellSession(const std::string& run, const Whereabouts::InGlass& in) {
    struct Group {
      int64_t bottles = 0, wine_ul = 0;
    };
    std::map<int64_t, Group> groups;  // by size
    const rundlet::Row& row = fold_.sequence().row(state_.parcels()[in.session].row);
    int64_t all = 0;
    for (const Line& line : fold_.sequence().lines(row)) {
      if (line.role != Role::kGlass || line.amount == 0) continue;
      Group& group = groups[fold_.commodities().info(line.other).measure];
      group.bottles += line.amount;
      group.wine_ul += line.extra;
      all += line.amount;
    }
    for (const auto& [size_ul, group] : groups) {
      const int64_t in_wine =
          in.filled_ul == 0 ? 0 : Scale(in.filled_amount, group.wine_ul, in.filled_ul).whole;
      const int64_t amount = in_wine + Scale(in.packaging, group.bottles, all).whole;
      Put({.part = "filled",
           .what = run,
           .size = Cell::Volume(size_ul),
           .bottles = Cell::Count(group.bottles),
           .volume = Cell::Volume(group.wine_ul),
           .amount = Amount(amount),
           .per_bottle = Amount(amount / group.bottles),
           .at = Cell::Moment(WhenOf(row)),
           .per_litre = Content(in_wine, group.wine_ul),
           .entry = ShortId(row.id)});
    }
  }

  void NoteOtherSessions(const std::string& run, Handle bottling, size_t with) {
    size_t sessions = 0;
    for (ParcelId id = state_.last_at(bottling); id != kNone;
         id = state_.parcels()[id].earlier_here) {
      sessions += state_.parcels()[id].origin == 0 ? 1 : 0;
    }
    if (sessions == with) return;
    notes_.push_back(absl::StrCat(
        "run ", run, " was filled ", sessions, " times, and ", with, " of them held some of ",
        suspect_,
        ": the book does not tell bottles of one run and size apart, so all of them are listed"));
  }

  absl::Status TellBottles(const std::string& run, int64_t size_ul, Commodity commodity) {
    const BottlesOfRun bottles = FollowBottles(fold_, commodity);
    const Cell size = Cell::Volume(size_ul);
    for (const BottlesOfRun::Lying& here : bottles.lying) {
      const bool in_bin = here.place.kind() == Place::Kind::kBin;
      Put({.part = in_bin ? "lies" : "opened",
           .what = run,
           .where = in_bin ? NameOf(fold_, here.place.handle()) : "",
           .size = size,
           .bottles = Cell::Count(here.bottles)});
    }
    int64_t taken = 0, returned = 0;
    for (const BottlesOfRun::Crossing& out : bottles.taken) {
      taken += out.bottles;
      if (absl::Status status = TellCrossing("taken", run, size, out); !status.ok()) return status;
    }
    for (const BottlesOfRun::Crossing& back : bottles.returned) {
      returned += back.bottles;
      if (absl::Status status = TellCrossing("returned", run, size, back); !status.ok())
        return status;
    }
    if (bottles.emptied > 0) {
      Put({.part = "emptied",
           .what = run,
           .size = size,
           .bottles = Cell::Count(bottles.emptied),
           .how = "back into vessels"});
    }
    if (bottles.missing != 0) {
      Put({.part = bottles.missing > 0 ? "missing" : "found",
           .what = run,
           .size = size,
           .bottles = Cell::Count(std::abs(bottles.missing)),
           .how = "by counts that the book follows; nobody knows where they are"});
    }
    Put({.part = "sum",
         .what = run,
         .size = size,
         .bottles = Cell::Count(bottles.filled),
         .how = SumOf(bottles, taken, returned)});
    if (bottles.Lies() != bottles.Expected()) {
      return absl::InternalError(absl::StrCat(
          "the bottles of ", run, " do not add up: ", bottles.Expected(), " are expected, ",
          bottles.Lies(), " lie somewhere; check the book with: rundlet audit"));
    }
    return absl::OkStatus();
  }

  // "28 filled = 17 here + 9 taken - 1 returned + 2 missing"
  static std::string SumOf(const BottlesOfRun& bottles, int64_t taken, int64_t returned) {
    std::string sum =
        absl::StrCat(bottles.filled, " filled = ", bottles.Lies(), " here + ", taken, " taken");
    if (returned > 0) absl::StrAppend(&sum, " - ", returned, " returned");
    if (bottles.emptied > 0) absl::StrAppend(&sum, " + ", bottles.emptied, " emptied");
    if (bottles.missing > 0) absl::StrAppend(&sum, " + ", bottles.missing, " missing");
    if (bottles.missing < 0) absl::StrAppend(&sum, " - ", -bottles.missing, " found");
    return sum;
  }

  absl::Status TellCrossing(absl::string_view part, const std::string& run, const Cell& size,
                            const BottlesOfRun::Crossing& crossing) {
    const auto entry = entry_of_(crossing.row);
    if (!entry.ok()) return entry.status();
    const rundlet::Row& row = fold_.sequence().row(crossing.row);
    const Handle bin = crossing.bin.kind() == Place::Kind::kBin ? crossing.bin.handle() : kNoHandle;
    Row line{.part = std::string(part),
             .what = run,
             .where = NameOf(fold_, bin),
             .size = size,
             .bottles = Cell::Count(crossing.bottles),
             .at = Cell::Moment(WhenOf(row)),
             .how = std::string(AccountWord(crossing.account)),
             .who = entry->has_bottles_returned() ? entry->bottles_returned().person()
                                                  : entry->bottles_taken().person(),
             .occasion = entry->bottles_taken().occasion(),
             .entry = ShortId(row.id)};
    const std::string member = NameOf(fold_, HandleOf(fold_, entry->bottles_taken().member_id()));
    if (!member.empty() && member != line.who)
      line.who = line.who.empty() ? member : absl::StrCat(line.who, " (of ", member, ")");
    const Directory::Known* known = fold_.directory().Find(bin);
    if (line.occasion.empty() && known != nullptr && !known->thing.bin().occasion_on().empty())
      line.occasion = known->thing.bin().name();
    Put(line);
    return absl::OkStatus();
  }

  // ---- wine that left vessels ----

  absl::Status TellDrawn(const Walk& walk) {
    struct Draw {
      int64_t volume_ul = 0;
      Place from;
    };
    std::map<std::pair<size_t, v1::Account>, Draw> draws;  // by place in the order
    for (const size_t index : walk.movements) {
      const Movement& m = state_.movements()[index];
      if (m.commodity != kWine || m.to.kind() != Place::Kind::kOutside ||
          m.to.account() == v1::ACCOUNT_GLASS || m.from.kind() != Place::Kind::kVessel)
        continue;
      Draw& draw = draws[{fold_.sequence().PositionOf(m.row), m.to.account()}];
      draw.volume_ul += m.amount;
      draw.from = m.from;
    }
    for (const auto& [key, draw] : draws) {
      const RowId row_id = fold_.sequence().at(key.first);
      const rundlet::Row& row = fold_.sequence().row(row_id);
      const auto entry = entry_of_(row_id);
      if (!entry.ok()) return entry.status();
      Put({.part = "drawn",
           .where = NameOf(fold_, draw.from.handle()),
           .volume = Cell::Volume(draw.volume_ul),
           .at = Cell::Moment(WhenOf(row)),
           .how = std::string(AccountWord(key.second)),
           .who = entry->withdrawal().person(),
           .entry = ShortId(row.id)});
    }
    return absl::OkStatus();
  }

  // ---- cells ----

  Cell Amount(int64_t base) const { return Cell::Amount(dimension_, base); }

  // "28.6 mg/L" of what was weighed, "34.2 %" of wine.
  std::string Content(int64_t base, int64_t volume_ul) const {
    if (base <= 0 || volume_ul <= 0) return "";
    if (dimension_ == v1::DIMENSION_VOLUME) {
      const int64_t tenths = Scale(std::min(base, volume_ul), 1000, volume_ul).whole;
      return absl::StrFormat("%d.%d %%", tenths / 10, tenths % 10);
    }
    v1::Amount amount;
    amount.set_dimension(dimension_);
    const int64_t common = std::gcd(base, volume_ul);
    return FormatRate(
        {.dimension = FromWire(amount).dimension, .num = base / common, .den = volume_ul / common});
  }

  void Put(const Row& row) {
    sink_.Row({Cell::Text(suspect_), Cell::Text(row.part), Cell::Text(row.what),
               Cell::Text(row.where), row.size, row.bottles, row.volume, row.amount,
               Cell::Text(row.per_litre), row.per_bottle, row.at, Cell::Text(row.how),
               Cell::Text(row.who), Cell::Text(row.occasion), Cell::Text(row.entry)});
  }

  const Fold& fold_;
  const State& state_;
  EntryOfRow entry_of_;
  Sink& sink_;
  std::string suspect_;
  v1::Dimension dimension_ = v1::DIMENSION_VOLUME;
  Whereabouts where_;
  std::vector<std::string> notes_;
};

}  // namespace

absl::Status TellRecall(const Fold& fold, const std::vector<Suspect>& suspects, EntryOfRow entry_of,
                        Sink& sink) {
  sink.Begin("recall", {{"recalled", "Recalled"},
                        {"part", "Part"},
                        {"what", "What"},
                        {"where", "Where"},
                        {"size", "Size", true},
                        {"bottles", "Bottles", true},
                        {"volume", "Wine", true},
                        {"amount", "Of it", true},
                        {"content", "In the wine", true},
                        {"per_bottle", "In a bottle", true},
                        {"at", "When"},
                        {"how", "How"},
                        {"who", "Who"},
                        {"occasion", "Occasion"},
                        {"entry", "Entry"}});
  Teller teller(fold, entry_of, sink);
  for (const Suspect& suspect : suspects) {
    if (absl::Status status = teller.Tell(suspect); !status.ok()) return status;
  }
  for (const std::string& note : teller.notes()) sink.Note(note);
  return absl::OkStatus();
}

}  // namespace rundlet::reports

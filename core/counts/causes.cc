// What may explain a difference. Each kind of cause is looked for by itself.
#include <algorithm>
#include <cstdlib>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "core/counts/differences.h"
#include "core/counts/occasion.h"
#include "core/quantity/format.h"
#include "core/quantity/when.h"
#include "core/view/log_line.h"

namespace rundlet::counts {
namespace {

constexpr int64_t kAroundUs = int64_t{36} * 3600 * 1'000'000;  // a day and a half, either way

class CauseFinder {
 public:
  CauseFinder(const Fold& fold, const Difference& difference, const std::vector<Difference>& all,
              const std::vector<Occasion>& occasions)
      : fold_(fold), d_(difference), all_(all), occasions_(occasions) {}

  std::vector<Cause> Find() {
    if (IsBottles(d_)) {
      MoveNotWrittenDown();
      TakenForAnother();
    }
    HeldEntries();
    EntriesAround();
    if (IsBottles(d_)) OpenOccasions();
    if (d_.kind == Difference::Kind::kVessel && d_.off() < 0) {
      Say("wine is lost through wood and airlocks all the time",
          {"rundlet", "gauge", Name(d_.place), Volume(d_.counted), "--cause", "evaporation"});
    }
    return std::move(causes_);
  }

 private:
  bool IsBottles(const Difference& d) const {
    return fold_.commodities().info(d.commodity).kind == CommodityInfo::Kind::kBottles;
  }
  std::string Name(Handle handle) const {
    return fold_.directory().NameOf(handle, fold_.sequence());
  }
  std::string Run(const Difference& d) const {
    const CommodityInfo& info = fold_.commodities().info(d.commodity);
    return absl::StrCat(Name(info.handle), "@", Volume(info.measure));
  }
  static std::string Volume(int64_t volume_ul) {
    return absl::StrReplaceAll(FormatVolumeExact(volume_ul), {{" ", ""}});
  }
  void Say(std::string text, std::vector<std::string> command) {
    causes_.push_back({std::move(text), std::move(command)});
  }

  // Two bins that are off in opposite ways for one run and size.
  void MoveNotWrittenDown() {
    for (const Difference& other : all_) {
      if (other.commodity != d_.commodity || other.place == d_.place || !IsBottles(other)) continue;
      if ((other.off() > 0) == (d_.off() > 0)) continue;
      const int64_t moved = std::min(std::abs(other.off()), std::abs(d_.off()));
      const Difference& from = d_.off() < 0 ? d_ : other;
      const Difference& to = d_.off() < 0 ? other : d_;
      Say(absl::StrCat("a move that was not written down: ", moved, " from ", Name(from.place),
                       " to ", Name(to.place)),
          {"rundlet", "move", Run(d_), absl::StrCat(moved), "--from", Name(from.place), "--to",
           Name(to.place), "--at", "TIME"});
    }
  }

  // One bin that is off in opposite ways for two runs.
  void TakenForAnother() {
    for (const Difference& other : all_) {
      if (other.place != d_.place || other.commodity == d_.commodity || !IsBottles(other)) continue;
      if ((other.off() > 0) == (d_.off() > 0)) continue;
      Say(absl::StrCat(std::min(std::abs(other.off()), std::abs(d_.off())),
                       " counted, taken or put as ", WhatText(fold_, d_.off() > 0 ? d_ : other),
                       " that were ", WhatText(fold_, d_.off() > 0 ? other : d_)),
          {"rundlet", "log", Name(d_.place)});
    }
  }

  bool Concerns(absl::Span<const Line> lines) const {
    return std::any_of(lines.begin(), lines.end(), [&](const Line& line) {
      const bool of_it =
          line.other == d_.commodity && (line.role == Role::kBottles || line.role == Role::kGlass);
      const bool wine = d_.kind == Difference::Kind::kVessel && line.handle == d_.place &&
                        (line.role == Role::kDraw || line.role == Role::kFill);
      return of_it || wine;
    });
  }

  void HeldEntries() {
    for (size_t i = 0; i < fold_.state().held().size(); ++i) {
      const Held& held = fold_.state().held()[i];
      const Row& row = fold_.sequence().row(held.row);
      if (!Concerns(fold_.sequence().lines(row))) continue;
      Say(absl::StrCat("an entry that is held: ", ShortId(row.id), ", ", HeldEvidence(fold_, held)),
          {"rundlet", "held"});
    }
  }

  // An entry of the days around that moved just as many: dated on the wrong side of the count, or
  // written twice.
  void EntriesAround() {
    const Row& count = fold_.sequence().row(d_.row);
    const size_t here = fold_.sequence().PositionOf(d_.row);
    const Place place = d_.kind == Difference::Kind::kVessel   ? Place::Vessel(d_.place)
                        : d_.kind == Difference::Kind::kPacket ? Place::Stock()
                                                               : Place::Bin(d_.place);
    size_t position = fold_.sequence().PositionOfTime(count.effective_at_us - kAroundUs);
    for (; position < fold_.sequence().size(); ++position) {
      const Row& row = fold_.sequence().row(fold_.sequence().at(position));
      if (row.effective_at_us > count.effective_at_us + kAroundUs) break;
      for (const Movement& m : fold_.MovementsAt(position)) {
        if (m.commodity != d_.commodity || m.amount != std::abs(d_.off()) || m.from == m.to)
          continue;
        const bool out = m.from == place;
        if (!out && m.to != place) continue;
        // Filed after the count, it explains what it does; before it, what it does the other way.
        const bool after = position > here;
        if (out != ((d_.off() < 0) == after)) continue;
        Say(absl::StrCat(
                "entry ", ShortId(row.id), " of ",
                FormatWhen({.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min}),
                after ? " may have happened before the count"
                      : " may have happened after the count, or twice on paper"),
            {"rundlet", "amend", ShortId(row.id), "--at", "TIME", "--", "COMMAND"});
      }
    }
  }

  void OpenOccasions() {
    for (const Occasion& occasion : occasions_) {
      if (occasion.closed != kNone || occasion.bin == d_.place) continue;
      for (const OccasionLine& line : occasion.lines) {
        if (line.commodity != d_.commodity || line.left == 0) continue;
        Say(absl::StrCat(line.left, " are at ", Name(occasion.bin), ", which is not closed"),
            {"rundlet", "occasion", "close", Name(occasion.bin)});
      }
    }
  }

  const Fold& fold_;
  const Difference& d_;
  const std::vector<Difference>& all_;
  const std::vector<Occasion>& occasions_;
  std::vector<Cause> causes_;
};

}  // namespace

std::vector<Cause> LikelyCauses(const Fold& fold, const Difference& difference,
                                const std::vector<Difference>& all,
                                const std::vector<Occasion>& occasions) {
  return CauseFinder(fold, difference, all, occasions).Find();
}

}  // namespace rundlet::counts

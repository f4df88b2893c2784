// Goal: counting and occasions hold whatever happens around them: a count that was accepted makes
// book and count equal at its moment, and stays so under entries that arrive later; an occasion
// accounts for every bottle; what is open as a difference does not depend on the order of arrival.
// Method: random weeks of moves, takes, counts and corrections on two devices, folded in random
// orders, with every entry in turn as the late one; books are kept a second time from the
// movements.
#include <map>
#include <numeric>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/counts/differences.h"
#include "core/counts/occasion.h"
#include "gtest/gtest.h"
#include "tests/support/bookkeeper.h"
#include "tests/support/by_name.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

constexpr int64_t kHour = 60 * kMinuteUs;
constexpr const char* kBins[] = {"Rack A", "Rack B", "Rack C", "tasting"};
constexpr const char* kRuns[] = {"white", "red"};

// A random week around the bottles of two runs.
class Week {
 public:
  explicit Week(uint64_t seed) : random_(seed) {
    for (const char* bin : kBins) Add(phone_.RegisterBin(bin));
    v1::Entry occasion;
    occasion.mutable_changed()->set_thing_id(IdOf("tasting").ToBytes());
    occasion.mutable_changed()->mutable_bin()->set_occasion_on("2026-11-21");
    Add(phone_.Write(occasion));
    Add(phone_.RegisterVessel("C1"));
    for (const char* run : kRuns) {
      Add(phone_.RegisterLot(absl::StrCat("lot of ", run)));
      Add(phone_.RegisterBottling(run, absl::StrCat("lot of ", run)));
      Add(phone_.Receive(absl::StrCat("lot of ", run), {Fill("C1", 60 * kLitre)}));
      Add(phone_.Bottle(run, {DrawAll("C1")}, {Group("Rack A", 40), Group("Rack B", 40, 375'000)},
                        {OutRest(v1::ACCOUNT_LOSS)}));
    }
    set_up_ = entries_.size();
  }

  std::vector<WrittenEntry> Make(size_t size) {
    while (entries_.size() < size) {
      TestDevice& device = random_.Chance(500) ? phone_ : tablet_;
      device.At(kDawnUs + kDayUs + random_.Below(7 * 24) * kHour + random_.Below(50));
      Add(device.Write(Anything()));
    }
    return entries_;
  }

 private:
  void Add(WrittenEntry entry) { entries_.push_back(std::move(entry)); }
  std::string AnyBin() { return kBins[random_.Below(4)]; }
  v1::Bottles Some() {
    return BottlesOf(kRuns[random_.Below(2)], random_.Between(1, 8),
                     random_.Chance(500) ? kBottleUl : 375'000);
  }

  v1::Entry Anything() {
    switch (random_.Below(8)) {
      case 0:
      case 1:
        return draft::BottlesMoved(Some(), AnyBin(), AnyBin());
      case 2:
        return draft::BottlesTaken(Some(), AnyBin(),
                                   random_.Chance(500) ? v1::ACCOUNT_SERVED : v1::ACCOUNT_SOLD);
      case 3:
        return draft::BottlesReturned(Some(), AnyBin(), v1::ACCOUNT_SERVED);
      case 4:
        return draft::BottlesTaken(Some(), AnyBin(), v1::ACCOUNT_OPENED);
      case 5:
        if (random_.Chance(300) && entries_.size() > set_up_) {
          const int64_t written = static_cast<int64_t>(entries_.size() - set_up_);
          return draft::Void(EntryId(entries_[set_up_ + random_.Below(written)].entry));
        }
        return draft::BottlesFinished(Some(), v1::ACCOUNT_DUMP);
      default: {
        v1::Bottles counted = Some();
        counted.set_count(random_.Below(30));
        return draft::BinCounted(AnyBin(), {counted}, random_.Chance(500));
      }
    }
  }

  Random random_;
  TestDevice phone_{"phone"}, tablet_{"tablet"};
  std::vector<WrittenEntry> entries_;
  size_t set_up_ = 0;  // of them make the cellar
};

// Every adopted count that has its effect: what was counted is what the movements up to it leave.
void CheckAdoptedCounts(const Fold& fold) {
  std::map<std::pair<Handle, Commodity>, int64_t> books;
  for (size_t position = 0; position < fold.sequence().size(); ++position) {
    for (const Movement& m : fold.MovementsAt(position)) {
      if (m.from.kind() == Place::Kind::kBin) books[{m.from.handle(), m.commodity}] -= m.amount;
      if (m.to.kind() == Place::Kind::kBin) books[{m.to.handle(), m.commodity}] += m.amount;
    }
    const Row& row = fold.sequence().row(fold.sequence().at(position));
    const auto lines = fold.sequence().lines(row);
    if (row.kind != ActKind::kBinCount || row.standing != Row::Standing::kCounts ||
        fold.HeldAt(position) != nullptr || FindLine(lines, Role::kAdopted) == nullptr)
      continue;
    for (const Line& line : lines) {
      if (line.role != Role::kBottles) continue;
      ASSERT_EQ((books[{line.handle, line.other}]), line.amount)
          << "after the count at position " << position;
    }
  }
}

void CheckOccasions(const Fold& fold) {
  for (const counts::Occasion& occasion : counts::Occasions(fold)) {
    for (const counts::OccasionLine& line : occasion.lines) {
      int64_t gone = line.back;
      for (const auto& [account, bottles] : line.out) gone += bottles;
      ASSERT_EQ(line.brought - gone, line.left);
      const Balance* book = fold.state().FindBalance(Place::Bin(occasion.bin), line.commodity);
      ASSERT_EQ(line.left, book == nullptr ? 0 : book->amount);
    }
  }
}

std::string Differences(const Fold& fold) {
  std::string text;
  const std::vector<counts::Difference> open = counts::OpenDifferences(fold);
  const std::vector<counts::Occasion> occasions = counts::Occasions(fold);
  for (const counts::Difference& d : open) {
    absl::StrAppend(&text, fold.directory().NameOf(d.place, fold.sequence()), " ",
                    counts::WhatText(fold, d), " ", counts::OffText(fold, d), "\n");
    for (const counts::Cause& cause : counts::LikelyCauses(fold, d, open, occasions))
      absl::StrAppend(&text, "  ", cause.text, " | ", absl::StrJoin(cause.command, " "), "\n");
  }
  return text;
}

TEST(CountsPropertyTest, HoldInAnyOrderOfArrival) {
  for (uint64_t seed = FirstSeed(), end = seed + Runs(40); seed < end; ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    const std::vector<WrittenEntry> entries = Week(seed).Make(150);
    Fold reference;
    for (const WrittenEntry& entry : entries) reference.Insert(entry.entry);
    reference.Settle();
    ASSERT_TRUE(AuditFold(reference).ok()) << AuditFold(reference);
    ASSERT_NO_FATAL_FAILURE(CheckAdoptedCounts(reference));
    ASSERT_NO_FATAL_FAILURE(CheckOccasions(reference));
    const std::string differences = Differences(reference);
    Random random(seed);
    std::vector<size_t> order(entries.size());
    std::iota(order.begin(), order.end(), 0);
    random.Shuffle(order);
    Fold shuffled;
    for (const size_t i : order) {
      shuffled.Add(entries[i].entry);
      // Half of the entries of a week, in any order, are a week as well.
      if (random.Chance(50)) {
        ASSERT_NO_FATAL_FAILURE(CheckAdoptedCounts(shuffled));
      }
    }
    ASSERT_EQ(shuffled.StateDigest(), reference.StateDigest());
    ASSERT_EQ(Differences(shuffled), differences);
    ASSERT_NO_FATAL_FAILURE(CheckOccasions(shuffled));
  }
}

TEST(CountsPropertyTest, AnAcceptedCountStaysTrueWhateverArrivesLate) {
  for (uint64_t seed = FirstSeed(), end = seed + Runs(10); seed < end; ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    const std::vector<WrittenEntry> entries = Week(seed + 1000).Make(80);
    for (size_t late = 0; late < entries.size(); ++late) {
      Fold fold;
      for (size_t i = 0; i < entries.size(); ++i) {
        if (i != late) fold.Insert(entries[i].entry);
      }
      fold.Settle();
      ASSERT_NO_FATAL_FAILURE(CheckAdoptedCounts(fold));
      fold.Add(entries[late].entry);
      ASSERT_NO_FATAL_FAILURE(CheckAdoptedCounts(fold));
    }
  }
}

}  // namespace
}  // namespace rundlet::testing

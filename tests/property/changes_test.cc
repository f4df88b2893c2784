// Goal: whoever keeps a copy of what the entries did, and changes it only where TakeChanges says
// so, has the whole truth after every Settle; and is told of no entry that stayed as it was.
// Method: such a copy, by stable names, beside random cellars that arrive in random order and
// batches; compared with the whole fold after every batch.
#include <map>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "gtest/gtest.h"
#include "tests/support/describe.h"
#include "tests/support/generator.h"
#include "tests/support/random.h"
#include "tests/support/run_options.h"

namespace rundlet::testing {
namespace {

using Copy = std::map<std::string, std::string>;

std::string BalanceKey(const Fold& fold, uint32_t index) {
  const Balance& balance = fold.state().balances()[index];
  return absl::StrCat("balance of ", DescribeCommodity(fold, balance.commodity), " in ",
                      DescribePlace(fold, balance.place));
}

// Writes `text` under `key`, or takes it away where there is none.
void Keep(Copy& copy, const std::string& key, const std::string& text) {
  if (text.empty()) {
    copy.erase(key);
  } else {
    copy[key] = text;
  }
}

void KeepRow(const Fold& fold, RowId row, Copy& copy) {
  Keep(copy, absl::StrCat("entry ", fold.sequence().row(row).id.ToString()),
       DescribePosition(fold, fold.sequence().PositionOf(row)));
}

void KeepVessel(const Fold& fold, Handle vessel, Copy& copy) {
  Keep(copy, absl::StrCat("vessel ", fold.interner().id(vessel).ToString()),
       DescribeVessel(fold, vessel));
}

void KeepThing(const Fold& fold, Handle thing, Copy& copy) {
  Keep(copy, absl::StrCat("thing ", fold.interner().id(thing).ToString()),
       DescribeThing(fold, thing));
}

void Follow(const Fold& fold, const Fold::Changes& changes, Copy& copy) {
  for (const RowId row : changes.rows) KeepRow(fold, row, copy);
  for (const Handle vessel : changes.vessels) KeepVessel(fold, vessel, copy);
  for (const uint32_t i : changes.balances) {
    Keep(copy, BalanceKey(fold, i), DescribeBalance(fold, i));
  }
  for (const Handle thing : changes.things) KeepThing(fold, thing, copy);
}

Copy WholeTruth(const Fold& fold) {
  Copy truth;
  for (size_t i = 0; i < fold.sequence().size(); ++i) KeepRow(fold, fold.sequence().at(i), truth);
  for (Handle handle = 0; handle < fold.interner().size(); ++handle) {
    KeepVessel(fold, handle, truth);
    KeepThing(fold, handle, truth);
  }
  for (uint32_t i = 0; i < fold.state().balances().size(); ++i) {
    Keep(truth, BalanceKey(fold, i), DescribeBalance(fold, i));
  }
  return truth;
}

std::string FirstDifference(const Copy& copy, const Copy& truth) {
  for (const auto& [key, text] : truth) {
    const auto it = copy.find(key);
    if (it == copy.end()) return absl::StrCat("not told of ", key, "\n", text);
    if (it->second != text) {
      return absl::StrCat(key, "\ncopy: ", it->second, "truth: ", text);
    }
  }
  for (const auto& [key, text] : copy) {
    if (!truth.contains(key)) return absl::StrCat("not told that this is gone: ", key, "\n", text);
  }
  return "";
}

// How many rows were reported, and how many of them for nothing: an amendment that was overruled
// and came back between two reports.
struct Reports {
  size_t all = 0;
  size_t needless = 0;
};

void FollowCellar(const std::vector<WrittenEntry>& arrivals, Random& random, Reports& reports) {
  Fold fold;
  fold.TrackChanges();
  Copy copy = WholeTruth(fold);
  const int settle = static_cast<int>(random.Pick(std::vector<int64_t>{50, 300, 1000}));
  for (size_t i = 0; i < arrivals.size(); ++i) {
    fold.Insert(arrivals[i].entry);
    if (!random.Chance(settle) && i + 1 < arrivals.size()) continue;
    fold.Settle();
    if (random.Chance(100)) continue;  // taken together with the next
    const Fold::Changes changes = fold.TakeChanges();
    for (const RowId row : changes.rows) {
      const std::string key = absl::StrCat("entry ", fold.sequence().row(row).id.ToString());
      const auto before = copy.find(key);
      const std::string now = DescribePosition(fold, fold.sequence().PositionOf(row));
      ++reports.all;
      if (before != copy.end() && before->second == now) ++reports.needless;
    }
    Follow(fold, changes, copy);
    ASSERT_EQ(FirstDifference(copy, WholeTruth(fold)), "") << "after arrival " << i;
  }
}

TEST(ChangesTest, SayAllAndNoMore) {
  const uint64_t cellars = Runs(60);
  Reports reports;
  for (uint64_t seed = FirstSeed(); seed < FirstSeed() + cellars; ++seed) {
    SCOPED_TRACE(absl::StrCat("RUNDLET_SEED=", seed));
    Random random(seed);
    for (const bool newer_kinds : {false, true}) {
      GeneratorOptions options =
          GeneratorOptions::Of(seed % 3 == 0 ? Profile::kRealistic : Profile::kHostile, seed);
      options.newer_kinds = newer_kinds ? 20 : 0;
      std::vector<WrittenEntry> arrivals = Generate(options, 100);
      if (random.Chance(700)) random.Shuffle(arrivals);
      FollowCellar(arrivals, random, reports);
      if (HasFailure()) return;
    }
  }
  EXPECT_LE(reports.needless * 1000, reports.all);
}

}  // namespace
}  // namespace rundlet::testing

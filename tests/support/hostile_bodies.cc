#include <algorithm>
#include <set>

#include "absl/strings/str_cat.h"
#include "core/entry/limits.h"
#include "tests/support/body_maker.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

// So many of each, besides those that nobody ever registers.
constexpr int kLots = 3;
constexpr int kBottlings = 3;

}  // namespace

HostileBodies::HostileBodies(const GeneratorOptions& options, Random& random)
    : options_(options), random_(random) {
  // All vessels, bins ... but the last of each are registered, in any order, a few of them later
  // on.
  std::vector<v1::Entry> things;
  for (int i = 0; i + 1 < options.vessels; ++i) {
    things.push_back(draft::VesselRegistered(absl::StrCat("vessel ", i)));
  }
  for (int i = 0; i + 1 < options.bins; ++i) {
    things.push_back(draft::BinRegistered(absl::StrCat("bin ", i)));
  }
  for (int i = 0; i + 1 < options.materials; ++i) {
    things.push_back(draft::MaterialRegistered(absl::StrCat("material ", i)));
    things.push_back(
        draft::MaterialLotRegistered(absl::StrCat("delivery ", i), absl::StrCat("material ", i)));
  }
  for (int i = 0; i + 1 < kLots; ++i) {
    things.push_back(draft::LotRegistered(absl::StrCat("lot ", i)));
  }
  for (int i = 0; i + 1 < kBottlings; ++i) {
    things.push_back(draft::BottlingRegistered(absl::StrCat("bottling ", i), "lot 0"));
  }
  random_.Shuffle(things);
  for (v1::Entry& thing : things) {
    if (!random_.Chance(50)) queue_.push_back(std::move(thing));
  }
}

v1::Entry HostileBodies::Make() {
  if (!queue_.empty()) {
    v1::Entry body = std::move(queue_.front());
    queue_.pop_front();
    return body;
  }
  const int64_t dice = random_.Below(100);
  if (dice < 8) return OfThings();
  return dice < 70 ? OfWine(random_.Below(14)) : OfStore(random_.Below(10));
}

v1::Entry HostileBodies::Corrected(const v1::Entry& original) {
  if (random_.Chance(700)) return Make();
  v1::Entry same = original;
  same.set_note("said again");
  return same;
}

// ---- anything ----

std::string HostileBodies::AnyOf(const char* prefix, int count) {
  if (random_.Chance(15)) return AnyThing();  // of whatever kind
  // The last of each is registered late, if ever.
  int64_t number = random_.Below(count);
  if (number == count - 1 && random_.Chance(800)) number = random_.Below(count);
  return absl::StrCat(prefix, " ", number);
}

std::string HostileBodies::AnyVessel() { return AnyOf("vessel", options_.vessels); }
std::string HostileBodies::AnyBin() { return AnyOf("bin", options_.bins); }
std::string HostileBodies::AnyLot() { return AnyOf("lot", kLots); }
std::string HostileBodies::AnyBottling() { return AnyOf("bottling", kBottlings); }
std::string HostileBodies::AnyMaterialLot() { return AnyOf("delivery", options_.materials); }
std::string HostileBodies::AnyMaterial() { return AnyOf("material", options_.materials); }

std::string HostileBodies::AnyThing() {
  static const std::vector<std::string> kKinds = {"vessel",   "bin",      "lot",
                                                  "delivery", "bottling", "material"};
  return absl::StrCat(random_.Pick(kKinds), " ", random_.Below(3));
}

int64_t HostileBodies::AnyVolume() {
  const int64_t dice = random_.Below(100);
  if (dice < 8) return random_.Between(1, 5);
  if (dice < 60) return random_.Between(1, 40) * kLitre;
  if (dice < 98) return random_.Between(1, 40'000'000);
  return dice < 99 ? kMaxVolumeUl : random_.Between(1, kMaxVolumeUl);
}

int64_t HostileBodies::AnySize() {
  static const std::vector<int64_t> kSizes = {375'000, 750'000, 750'000, 1'500'000, 1};
  return random_.Pick(kSizes);
}

v1::Account HostileBodies::AnyWineAccount() {
  static const std::vector<v1::Account> kAccounts = {
      v1::ACCOUNT_LOSS,  v1::ACCOUNT_LEES, v1::ACCOUNT_EVAPORATION, v1::ACCOUNT_SAMPLE,
      v1::ACCOUNT_SPILL, v1::ACCOUNT_DUMP, v1::ACCOUNT_SERVED,      v1::ACCOUNT_SHARE};
  return random_.Pick(kAccounts);
}

v1::Account HostileBodies::AnyBottleAccount() {
  static const std::vector<v1::Account> kAccounts = {v1::ACCOUNT_BREAKAGE, v1::ACCOUNT_SAMPLE,
                                                     v1::ACCOUNT_SERVED, v1::ACCOUNT_SOLD};
  return random_.Pick(kAccounts);
}

v1::Amount HostileBodies::AnyAmount() {
  const int64_t base = random_.Chance(20) ? kMaxAmount : random_.Between(1, 1'000 * kGram);
  switch (random_.Below(5)) {
    case 0:
      return Volume(base);
    case 1:
      return Count(base);
    default:
      return Mass(base);
  }
}

v1::Bottles HostileBodies::AnyBottles(bool zero_is_fine) {
  return BottlesOf(AnyBottling(), random_.Between(zero_is_fine ? 0 : 1, 40), AnySize());
}

std::vector<v1::Draw> HostileBodies::Draws() {
  std::vector<v1::Draw> draws;
  std::set<std::string> seen;
  for (int64_t n = 1 + random_.Below(3) * random_.Below(2); n > 0; --n) {
    const std::string vessel = AnyVessel();
    if (!seen.insert(vessel).second) continue;
    draws.push_back(random_.Chance(350) ? DrawAll(vessel) : Draw(vessel, AnyVolume()));
  }
  return draws;
}

std::vector<v1::Fill> HostileBodies::Fills(bool* rest) {
  std::vector<v1::Fill> fills;
  std::set<std::string> seen;
  for (int64_t n = 1 + random_.Below(3) * random_.Below(2); n > 0; --n) {
    const std::string vessel = AnyVessel();
    if (!seen.insert(vessel).second) continue;
    if (!*rest && random_.Chance(500)) {
      *rest = true;
      fills.push_back(FillRest(vessel));
    } else {
      fills.push_back(Fill(vessel, AnyVolume()));
    }
  }
  return fills;
}

std::vector<v1::Outflow> HostileBodies::Outflows(bool* rest) {
  std::vector<v1::Outflow> outflows;
  for (int64_t n = random_.Below(3); n > 0; --n) {
    if (!*rest && random_.Chance(400)) {
      *rest = true;
      outflows.push_back(OutRest(AnyWineAccount()));
    } else {
      outflows.push_back(Out(AnyWineAccount(), random_.Between(1, 2 * kLitre)));
    }
  }
  return outflows;
}

std::vector<v1::AdditionLine> HostileBodies::Lines() {
  std::vector<v1::AdditionLine> lines;
  for (int64_t n = random_.Between(1, 3); n > 0; --n) {
    const int64_t effect_ul = random_.Chance(300) ? random_.Between(1, 2 * kLitre) : 0;
    lines.push_back(random_.Chance(600) ? FromLot(AnyMaterialLot(), AnyAmount(), effect_ul)
                                        : OfMaterial(AnyMaterial(), AnyAmount(), effect_ul));
  }
  return lines;
}

// ---- kinds ----

v1::Entry HostileBodies::AnyTransfer() {
  bool rest = false;
  const std::vector<v1::Draw> draws = Draws();
  const std::vector<v1::Fill> fills = Fills(&rest);
  const std::vector<v1::Outflow> outflows = Outflows(&rest);
  switch (random_.Below(3)) {
    case 0:
      return draft::Pressing(draws, fills, outflows);
    case 1:
      return draft::Blend(draws, fills, random_.Chance(300) ? AnyLot() : "");
    default:
      return draft::Racking(draws, fills, outflows, random_.Chance(300) ? AnyLot() : "");
  }
}

v1::Entry HostileBodies::OfThings() {
  switch (random_.Below(9)) {
    case 0:
      return draft::ToleranceSet(random_.Between(0, 500'000), std::nullopt);
    case 1:
      return draft::ToleranceSet(std::nullopt, random_.Between(0, kLitre));
    case 2:
      return draft::Retired(AnyThing());
    case 3:
      return draft::VesselRenamed(AnyThing(), "what it is called now");
    case 4:  // as what it may not be
      return draft::BinRegistered(AnyThing());
    case 5:
      return draft::LotRegistered(AnyLot());
    case 6:
      return draft::BottlingRegistered(AnyBottling(), AnyLot());
    case 7:
      return draft::MaterialLotRegistered(AnyMaterialLot(), AnyMaterial());
    default:
      return draft::VesselRegistered(AnyVessel());
  }
}

v1::Entry HostileBodies::OfWine(int64_t dice) {
  switch (dice) {
    case 0:
    case 1: {
      bool no_rest = true;
      return draft::WineReceived(AnyLot(), Fills(&no_rest));
    }
    case 2:
    case 3:
      return draft::Addition(AnyVessel(), Lines());
    case 4: {
      v1::Entry gauging =
          draft::Gauging(AnyVessel(), random_.Chance(100) ? 0 : AnyVolume(),
                         random_.Chance(400) ? v1::ACCOUNT_EVAPORATION : AnyWineAccount());
      gauging.mutable_gauging()->set_noted(random_.Chance(200));
      return gauging;
    }
    case 5:
      return draft::Withdrawal(random_.Chance(200)
                                   ? DrawAll(AnyVessel())
                                   : Draw(AnyVessel(), random_.Between(1, 4 * kLitre)),
                               AnyWineAccount());
    case 6:
      return draft::Reading(AnyVessel(),
                            {Measured(v1::READING_KIND_DENSITY, v1::READING_UNIT_BRIX,
                                      random_.Between(-kMaxReadingMicro, kMaxReadingMicro))});
    case 7:
      return draft::Treatment(AnyVessel(), v1::TREATMENT_KIND_STIRRING, 5);
    case 8:
      return draft::Observation(AnyThing());
    case 9: {
      bool rest = false;
      std::vector<v1::BottleGroup> groups;
      for (int64_t n = random_.Between(1, 2); n > 0; --n) {
        groups.push_back(Group(AnyBin(), random_.Between(1, 30), AnySize(),
                               random_.Chance(300) ? random_.Between(1, 800'000) : 0));
      }
      std::vector<v1::AdditionLine> packaging;
      if (random_.Chance(500)) packaging = Lines();
      return draft::Bottled(AnyBottling(), Draws(), groups, Outflows(&rest), packaging);
    }
    case 10:
      return draft::Topping(Draw(AnyVessel(), AnyVolume()), {Fill(AnyVessel(), AnyVolume())});
    default:
      return AnyTransfer();
  }
}

v1::Entry HostileBodies::OfStore(int64_t dice) {
  switch (dice) {
    case 0:
      return draft::MaterialReceived(AnyMaterialLot(), AnyAmount());
    case 1: {
      v1::Amount amount = AnyAmount();
      if (random_.Chance(200)) amount.set_base(0);
      return draft::MaterialCounted(AnyMaterialLot(), amount, random_.Chance(500));
    }
    case 2:
      return draft::BottlesMoved(AnyBottles(false), AnyBin(), AnyBin());
    case 3:
    case 4:
      return draft::BottlesTaken(AnyBottles(false), AnyBin(), AnyBottleAccount());
    case 5:
      return draft::BottlesReturned(AnyBottles(false), AnyBin(), AnyBottleAccount());
    case 6:
      return random_.Chance(500)
                 ? draft::BottlesTaken(AnyBottles(false), AnyBin(), v1::ACCOUNT_OPENED)
                 : draft::BottlesFinished(AnyBottles(false), AnyBottleAccount());
    case 7: {
      // Little, so that it is sometimes less than what the bottles hold, sometimes all of it.
      std::vector<v1::Fill> fills = {random_.Chance(500)
                                         ? FillRest(AnyVessel())
                                         : Fill(AnyVessel(), random_.Between(1, 4'000'000))};
      std::vector<v1::Outflow> outflows;
      if (random_.Chance(300)) {
        outflows.emplace_back();
        outflows.back().set_account(AnyWineAccount());
        outflows.back().set_volume_ul(random_.Between(1, 500'000));
      }
      return draft::BottlesEmptied(AnyBottles(false), AnyBin(), fills, outflows);
    }
    default: {
      std::vector<v1::Bottles> counted = {AnyBottles(true)};
      const v1::Bottles more = AnyBottles(true);
      if (more.bottling_id() != counted[0].bottling_id()) counted.push_back(more);
      return draft::BinCounted(AnyBin(), counted, random_.Chance(500));
    }
  }
}

}  // namespace rundlet::testing

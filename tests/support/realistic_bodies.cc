#include <algorithm>

#include "absl/strings/str_cat.h"
#include "tests/support/body_maker.h"
#include "tests/support/drafts.h"

namespace rundlet::testing {
namespace {

// Sizes that vessels of small cellars have.
constexpr int64_t kCapacities[] = {5, 10, 23, 23, 54, 54, 225, 225, 500, 1000};

}  // namespace

RealisticBodies::RealisticBodies(const GeneratorOptions& options, Random& random)
    : options_(options), random_(random) {
  const Weights& w = options.weights;
  const std::pair<int, Maker> weighted[] = {
      {w.receive, &RealisticBodies::Receive},
      {w.add, &RealisticBodies::Add},
      {w.rack, &RealisticBodies::Rack},
      {w.blend, &RealisticBodies::Blend},
      {w.top, &RealisticBodies::Top},
      {w.press, &RealisticBodies::Press},
      {w.gauge, &RealisticBodies::Gauge},
      {w.withdraw, &RealisticBodies::Withdraw},
      {w.read, &RealisticBodies::Read},
      {w.treat, &RealisticBodies::Treat},
      {w.observe, &RealisticBodies::Observe},
      {w.bottle, &RealisticBodies::Bottle},
      {w.take_bottles, &RealisticBodies::TakeBottles},
      {w.move_bottles, &RealisticBodies::MoveBottles},
      {w.return_bottles, &RealisticBodies::ReturnBottles},
      {w.count_bin, &RealisticBodies::CountBin},
      {w.receive_material, &RealisticBodies::ReceiveMaterial},
      {w.count_material, &RealisticBodies::CountMaterial},
      {w.settings, &RealisticBodies::Settings},
      {w.things, &RealisticBodies::Things},
  };
  int sum = 0;
  for (const auto& [weight, maker] : weighted) {
    if (weight > 0) makers_.emplace_back(sum += weight, maker);
  }
  RegisterAll();
}

void RealisticBodies::RegisterAll() {
  for (int i = 0; i < options_.vessels; ++i) {
    Vessel& vessel = vessels_.emplace_back();
    vessel.name = absl::StrCat("vessel ", i);
    vessel.capacity_ul = kCapacities[random_.Below(std::size(kCapacities))] * kLitre;
    queue_.push_back(draft::VesselRegistered(vessel.name, vessel.capacity_ul));
  }
  for (int i = 0; i < options_.bins; ++i) {
    queue_.push_back(draft::BinRegistered(bins_.emplace_back(absl::StrCat("bin ", i))));
  }
  for (int i = 0; i < options_.materials; ++i) {
    const std::string material = absl::StrCat("material ", i);
    queue_.push_back(draft::MaterialRegistered(material));
    if (i % 2 == 1) {
      materials_.push_back(material);
      continue;
    }
    const std::string lot = absl::StrCat("delivery ", i);
    queue_.push_back(draft::MaterialLotRegistered(lot, material));
    queue_.push_back(draft::MaterialReceived(lot, Mass(random_.Between(100, 5'000) * kGram)));
    material_lots_.push_back(lot);
  }
}

v1::Entry RealisticBodies::Make() {
  if (queue_.empty()) {
    const int64_t dice = random_.Below(makers_.back().first);
    const auto chosen = std::upper_bound(
        makers_.begin(), makers_.end(), dice,
        [](int64_t value, const auto& weighted) { return value < weighted.first; });
    // What it needs first, such as a lot's registration, it has put into the queue by itself.
    v1::Entry body = (this->*chosen->second)();
    queue_.push_back(std::move(body));
  }
  v1::Entry body = std::move(queue_.front());
  queue_.pop_front();
  return body;
}

v1::Entry RealisticBodies::Corrected(const v1::Entry& original) {
  v1::Entry body = original;
  body.set_note("misread at first");
  const auto nudge = [&](int64_t value) {
    return std::max<int64_t>(1, value + value * random_.Between(-10, 10) / 100);
  };
  if (body.has_gauging()) {
    body.mutable_gauging()->set_volume_ul(nudge(body.gauging().volume_ul()));
  } else if (body.has_reading()) {
    v1::Measurement* measurement = body.mutable_reading()->mutable_measurements(0);
    measurement->set_value_micro(nudge(measurement->value_micro()));
  } else if (body.has_addition()) {
    v1::Amount* amount = body.mutable_addition()->mutable_lines(0)->mutable_amount();
    amount->set_base(nudge(amount->base()));
  }
  return body;
}

RealisticBodies::Vessel* RealisticBodies::Find(bool filled) {
  const auto first = random_.Below(static_cast<int64_t>(vessels_.size()));
  for (size_t i = 0; i < vessels_.size(); ++i) {
    Vessel& vessel = vessels_[(first + i) % vessels_.size()];
    if ((vessel.volume_ul > 0) == filled) return &vessel;
  }
  return nullptr;
}

RealisticBodies::Run* RealisticBodies::FindRun() {
  return runs_.empty() ? nullptr : &runs_[random_.Below(static_cast<int64_t>(runs_.size()))];
}

// ---- wine ----

v1::Entry RealisticBodies::Receive() {
  Vessel* vessel = Find(false);
  if (vessel == nullptr) return Bottle();
  if (lot_.empty() || random_.Chance(300)) {
    lot_ = absl::StrCat("lot ", lots_++);
    queue_.push_back(draft::LotRegistered(lot_));
  }
  vessel->volume_ul = vessel->capacity_ul * random_.Between(70, 96) / 100;
  return draft::WineReceived(lot_, {Fill(vessel->name, vessel->volume_ul)});
}

v1::Entry RealisticBodies::Add() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr) return Receive();
  std::vector<v1::AdditionLine> lines;
  for (int64_t n = random_.Between(1, 2); n > 0; --n) {
    const int64_t mass_ug =
        std::max<int64_t>(1, vessel->volume_ul / kLitre) * random_.Between(10, 400) * kMilligram;
    if (!material_lots_.empty() && (materials_.empty() || random_.Chance(700))) {
      lines.push_back(FromLot(random_.Pick(material_lots_), Mass(mass_ug)));
    } else if (!materials_.empty()) {
      const int64_t effect_ul = vessel->volume_ul / 100;
      lines.push_back(OfMaterial(random_.Pick(materials_), Mass(mass_ug), effect_ul));
      vessel->volume_ul += effect_ul;
    }
  }
  if (lines.empty()) return Read();
  return draft::Addition(vessel->name, lines);
}

v1::Entry RealisticBodies::Rack() {
  Vessel* from = Find(true);
  Vessel* to = Find(false);
  if (from == nullptr || to == nullptr) return from == nullptr ? Receive() : Bottle();
  const int64_t clear_ul = from->volume_ul * random_.Between(95, 99) / 100;
  const int64_t fill_ul = std::max<int64_t>(1, std::min(clear_ul, to->capacity_ul));
  if (fill_ul < clear_ul) {  // more than one vessel takes: the rest stays where it was
    from->volume_ul -= fill_ul;
    to->volume_ul = fill_ul;
    return draft::Racking({Draw(from->name, fill_ul)}, {Fill(to->name, fill_ul)});
  }
  from->volume_ul = 0;
  to->volume_ul = fill_ul;
  return draft::Racking({DrawAll(from->name)}, {Fill(to->name, fill_ul)},
                        {OutRest(v1::ACCOUNT_LEES)});
}

v1::Entry RealisticBodies::Blend() {
  Vessel* one = Find(true);
  Vessel* other = Find(true);
  Vessel* to = Find(false);
  if (one == nullptr || to == nullptr || one == other) return Rack();
  const int64_t half_ul = to->capacity_ul / 2;
  const int64_t first_ul = std::min(one->volume_ul, half_ul);
  const int64_t second_ul = std::min(other->volume_ul, half_ul);
  one->volume_ul -= first_ul;
  other->volume_ul -= second_ul;
  to->volume_ul = first_ul + second_ul;
  return draft::Blend({Draw(one->name, first_ul), Draw(other->name, second_ul)},
                      {FillRest(to->name)});
}

v1::Entry RealisticBodies::Top() {
  Vessel* from = Find(true);
  Vessel* to = Find(true);
  if (from == nullptr || from == to) return Read();
  const int64_t room_ul = to->capacity_ul - to->volume_ul;
  const int64_t volume_ul =
      std::min({room_ul, from->volume_ul / 4, random_.Between(50, 2'000) * kMillilitre});
  if (volume_ul <= 0) return Read();
  from->volume_ul -= volume_ul;
  to->volume_ul += volume_ul;
  return draft::Topping(Draw(from->name, volume_ul), {Fill(to->name, volume_ul)});
}

v1::Entry RealisticBodies::Press() {
  Vessel* from = Find(true);
  Vessel* to = Find(false);
  if (from == nullptr || to == nullptr) return Rack();
  const int64_t pressed_ul = std::min(from->volume_ul * 7 / 10, to->capacity_ul);
  if (pressed_ul == 0) return Read();
  from->volume_ul = 0;
  to->volume_ul = pressed_ul;
  return draft::Pressing({DrawAll(from->name)}, {Fill(to->name, pressed_ul)},
                         {OutRest(v1::ACCOUNT_LEES)});
}

v1::Entry RealisticBodies::Gauge() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr) return Receive();
  vessel->volume_ul = std::max<int64_t>(1, vessel->volume_ul * random_.Between(985, 1'002) / 1'000);
  return draft::Gauging(vessel->name, vessel->volume_ul,
                        random_.Chance(600) ? v1::ACCOUNT_EVAPORATION : v1::ACCOUNT_UNSPECIFIED);
}

v1::Entry RealisticBodies::Withdraw() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr) return Receive();
  static const std::vector<v1::Account> kAccounts = {v1::ACCOUNT_SAMPLE, v1::ACCOUNT_SAMPLE,
                                                     v1::ACCOUNT_SAMPLE, v1::ACCOUNT_SPILL,
                                                     v1::ACCOUNT_SERVED, v1::ACCOUNT_GIFT};
  const int64_t volume_ul = std::min(vessel->volume_ul, random_.Between(50, 750) * kMillilitre);
  vessel->volume_ul -= volume_ul;
  return draft::Withdrawal(Draw(vessel->name, volume_ul), random_.Pick(kAccounts));
}

v1::Entry RealisticBodies::Read() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr) return Receive();
  std::vector<v1::Measurement> measurements = {Measured(v1::READING_KIND_DENSITY,
                                                        v1::READING_UNIT_SPECIFIC_GRAVITY,
                                                        random_.Between(990'000, 1'100'000))};
  if (random_.Chance(600)) {
    measurements.push_back(Measured(v1::READING_KIND_TEMPERATURE, v1::READING_UNIT_CELSIUS,
                                    random_.Between(8, 26) * 1'000'000));
  }
  if (random_.Chance(300)) {
    measurements.push_back(
        Measured(v1::READING_KIND_PH, v1::READING_UNIT_PH, random_.Between(2'900, 3'900) * 1'000));
  }
  return draft::Reading(vessel->name, measurements);
}

v1::Entry RealisticBodies::Treat() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr) return Receive();
  const auto kind = static_cast<v1::TreatmentKind>(
      random_.Between(v1::TREATMENT_KIND_DEGASSING, v1::TREATMENT_KIND_COVERING_WITH_GAS));
  return draft::Treatment(vessel->name, kind, static_cast<int32_t>(random_.Between(1, 240)));
}

v1::Entry RealisticBodies::Observe() {
  if (random_.Chance(30)) return draft::Sanitised(random_.Pick(vessels_).name);
  return draft::Observation(random_.Pick(vessels_).name, "a little hazy, smells of pear");
}

// ---- bottles and stock ----

v1::Entry RealisticBodies::Bottle() {
  Vessel* vessel = Find(true);
  if (vessel == nullptr || bins_.empty()) return Receive();
  const int64_t count = vessel->volume_ul / kBottleUl;
  if (count == 0) {
    const int64_t left_ul = std::exchange(vessel->volume_ul, 0);
    return draft::Withdrawal(Draw(vessel->name, left_ul), v1::ACCOUNT_SERVED);
  }
  const std::string bottling = absl::StrCat("bottling ", bottlings_++);
  runs_.push_back({random_.Pick(bins_), bottling, kBottleUl, count});
  if (runs_.size() > 64) runs_.erase(runs_.begin());
  queue_.push_back(draft::BottlingRegistered(bottling, lot_));
  vessel->volume_ul = 0;
  return draft::Bottled(bottling, {DrawAll(vessel->name)}, {Group(runs_.back().bin, count)},
                        {OutRest(v1::ACCOUNT_LOSS)});
}

v1::Entry RealisticBodies::TakeBottles() {
  Run* run = FindRun();
  if (run == nullptr || run->count == 0) return Observe();
  static const std::vector<v1::Account> kAccounts = {v1::ACCOUNT_SERVED, v1::ACCOUNT_SERVED,
                                                     v1::ACCOUNT_SOLD,   v1::ACCOUNT_GIFT,
                                                     v1::ACCOUNT_SHARE,  v1::ACCOUNT_BREAKAGE};
  const int64_t count = std::min(run->count, random_.Between(1, 12));
  run->count -= count;
  return draft::BottlesTaken(BottlesOf(run->bottling, count, run->size_ul), run->bin,
                             random_.Pick(kAccounts));
}

v1::Entry RealisticBodies::MoveBottles() {
  Run* run = FindRun();
  if (run == nullptr || run->count == 0) return Observe();
  const std::string from = std::exchange(run->bin, random_.Pick(bins_));
  return draft::BottlesMoved(BottlesOf(run->bottling, run->count, run->size_ul), from, run->bin);
}

v1::Entry RealisticBodies::ReturnBottles() {
  Run* run = FindRun();
  if (run == nullptr) return Observe();
  ++run->count;
  return draft::BottlesReturned(BottlesOf(run->bottling, 1, run->size_ul), run->bin);
}

v1::Entry RealisticBodies::CountBin() {
  Run* run = FindRun();
  if (run == nullptr) return Observe();
  const bool adopted = random_.Chance(500);
  const int64_t found = std::max<int64_t>(0, run->count - random_.Below(2));
  if (adopted) run->count = found;
  return draft::BinCounted(run->bin, {BottlesOf(run->bottling, found, run->size_ul)}, adopted);
}

v1::Entry RealisticBodies::ReceiveMaterial() {
  if (material_lots_.empty()) return Observe();
  return draft::MaterialReceived(random_.Pick(material_lots_),
                                 Mass(random_.Between(50, 5'000) * kGram));
}

v1::Entry RealisticBodies::CountMaterial() {
  if (material_lots_.empty()) return Observe();
  return draft::MaterialCounted(random_.Pick(material_lots_),
                                Mass(random_.Between(0, 3'000) * kGram), random_.Chance(500));
}

v1::Entry RealisticBodies::Settings() {
  return draft::ToleranceSet(random_.Between(10'000, 30'000),
                             random_.Between(100, 400) * kMillilitre);
}

v1::Entry RealisticBodies::Things() {
  const std::string& name = random_.Pick(vessels_).name;
  return draft::VesselRenamed(name, absl::StrCat(name, random_.Chance(500) ? " (oak)" : ""));
}

}  // namespace rundlet::testing

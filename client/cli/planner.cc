#include "client/cli/planner.h"

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/strings/strip.h"
#include "client/cli/near.h"
#include "core/quantity/amount.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr v1::Thing::KindCase kAllKinds[] = {
    v1::Thing::kVessel,   v1::Thing::kLot,         v1::Thing::kBottling,  v1::Thing::kBin,
    v1::Thing::kMaterial, v1::Thing::kMaterialLot, v1::Thing::kEquipment, v1::Thing::kMember};

}  // namespace

absl::Status Usage(absl::string_view text) { return absl::InvalidArgumentError(text); }

NameAndValue SplitAtEquals(absl::string_view word) {
  const size_t equals = word.rfind('=');
  if (equals == absl::string_view::npos) return {.name = std::string(word)};
  return {.name = std::string(word.substr(0, equals)),
          .value = std::string(word.substr(equals + 1)),
          .has_value = true};
}

void SetName(v1::Thing::KindCase kind, absl::string_view name, v1::Thing& thing) {
  const std::string text(name);
  switch (kind) {
    case v1::Thing::kVessel:
      thing.mutable_vessel()->set_name(text);
      break;
    case v1::Thing::kEquipment:
      thing.mutable_equipment()->set_name(text);
      break;
    case v1::Thing::kMaterial:
      thing.mutable_material()->set_name(text);
      break;
    case v1::Thing::kMaterialLot:
      thing.mutable_material_lot()->set_name(text);
      break;
    case v1::Thing::kBin:
      thing.mutable_bin()->set_name(text);
      break;
    case v1::Thing::kMember:
      thing.mutable_member()->set_name(text);
      break;
    case v1::Thing::kLot:
      thing.mutable_lot()->set_name(text);
      break;
    case v1::Thing::kBottling:
      thing.mutable_bottling()->set_name(text);
      break;
    case v1::Thing::KIND_NOT_SET:
      break;
  }
}

absl::StatusOr<Handle> FindAnything(const Fold& fold, absl::string_view word) {
  for (const auto kind : kAllKinds) {
    const std::string prefix = absl::StrCat(KindWord(kind), ":");
    if (absl::StartsWith(word, prefix)) return FindByName(fold, kind, word.substr(prefix.size()));
  }
  auto found = FindByName(fold, kAllKinds, word);
  if (!absl::IsFailedPrecondition(found.status())) return found;
  // Two of one kind are told apart by their ids, two of different kinds more easily.
  std::vector<std::string> ways;
  for (const auto kind : kAllKinds) {
    if (FindByName(fold, kind, word).ok())
      ways.push_back(absl::StrCat("'", KindWord(kind), ":", word, "'"));
  }
  if (ways.size() < 2) return found;
  return absl::FailedPreconditionError(
      absl::StrCat("several things are called '", word, "': write ", absl::StrJoin(ways, " or ")));
}

std::string Planner::NameOf(const Uuid& thing) const {
  return fold_.directory().NameOf(fold_.interner().Find(thing), fold_.sequence());
}

const v1::Thing* Planner::Find(const Uuid& thing) const {
  const Directory::Known* known = fold_.directory().Find(fold_.interner().Find(thing));
  return known == nullptr ? nullptr : &known->thing;
}

absl::StatusOr<Uuid> Planner::Vessel(absl::string_view word) const {
  absl::ConsumePrefix(&word, "vessel:");
  const auto vessel = FindByName(fold_, v1::Thing::kVessel, word);
  if (vessel.ok()) return fold_.interner().id(*vessel);
  if (!absl::IsNotFound(vessel.status())) return vessel.status();
  absl::string_view lot_name = word;
  absl::ConsumePrefix(&lot_name, "lot:");
  const auto lot = FindByName(fold_, v1::Thing::kLot, lot_name);
  if (!lot.ok()) {
    return absl::NotFoundError(
        Sentences(vessel.status().message(),
                  absl::StrCat("A new one: rundlet vessel new '", word, "' --capacity 20L")));
  }
  const std::vector<Uuid> vessels = moment_.VesselsHolding(fold_.interner().id(*lot));
  if (vessels.size() == 1) return vessels.front();
  if (vessels.empty())
    return absl::NotFoundError(absl::StrCat("no vessel holds the lot '", lot_name, "' then"));
  return absl::FailedPreconditionError(absl::StrCat(
      "the lot '", lot_name, "' is in ",
      absl::StrJoin(vessels, " and ",
                    [&](std::string* out, const Uuid& id) { absl::StrAppend(out, NameOf(id)); }),
      ": name the vessel"));
}

absl::StatusOr<Uuid> Planner::Named(v1::Thing::KindCase kind, absl::string_view name) const {
  absl::ConsumePrefix(&name, absl::StrCat(KindWord(kind), ":"));
  const auto found = FindByName(fold_, kind, name);
  if (!found.ok()) return found.status();
  return fold_.interner().id(*found);
}

absl::StatusOr<Uuid> Planner::Anything(absl::string_view word) const {
  const auto found = FindAnything(fold_, word);
  if (!found.ok()) return found.status();
  return fold_.interner().id(*found);
}

absl::StatusOr<Uuid> Planner::FindOrMake(v1::Thing::KindCase kind, absl::string_view name,
                                         Change& change, v1::Thing** fresh) const {
  *fresh = nullptr;
  const auto found = FindByName(fold_, kind, name);
  if (found.ok()) return fold_.interner().id(*found);
  if (!absl::IsNotFound(found.status())) return found.status();
  if (absl::StrContains(found.status().message(), "Did you mean")) {
    change.warnings.push_back(Sentences(found.status().message(), "A new one is made"));
  }
  const Uuid id = NewId();
  v1::Thing& thing = *change.Add().mutable_registered();
  thing.set_thing_id(id.ToBytes());
  SetName(kind, name, thing);
  *fresh = &thing;
  return id;
}

absl::StatusOr<VesselAmount> Planner::ReadVesselAmount(absl::string_view word) const {
  const NameAndValue split = SplitAtEquals(word);
  const auto vessel = Vessel(split.name);
  if (!vessel.ok()) return vessel.status();
  VesselAmount amount{.vessel = *vessel, .name = split.name, .said = split.has_value};
  if (!split.has_value || split.value == "all" || split.value == "rest") return amount;
  const auto volume_ul = ParseVolume(split.value);
  if (!volume_ul.ok()) {
    return absl::InvalidArgumentError(absl::StrCat("'", word, "': ", volume_ul.status().message()));
  }
  amount.whole = false;
  amount.volume_ul = *volume_ul;
  return amount;
}

}  // namespace rundlet::client

#include "core/view/names.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"

namespace rundlet {
namespace {

struct Named {
  Handle handle;
  std::string name;
  v1::Thing::KindCase kind;
  bool retired;
  std::string code;  // of a packet, as printed on it
};

std::vector<Named> AllNamed(const Fold& fold, absl::Span<const v1::Thing::KindCase> kinds) {
  std::vector<Named> all;
  for (const auto kind : kinds) {
    fold.directory().ForEach(kind, [&](Handle handle, const Directory::Known& known) {
      all.push_back({handle, fold.directory().NameOf(handle, fold.sequence()), kind, known.retired,
                     known.thing.material_lot().supplier_lot()});
    });
  }
  std::sort(all.begin(), all.end(), [&](const Named& a, const Named& b) {
    return a.name != b.name ? a.name < b.name
                            : fold.interner().id(a.handle) < fold.interner().id(b.handle);
  });
  return all;
}

// How many letters must be put in, left out or changed to make one of the other.
size_t Distance(absl::string_view a, absl::string_view b) {
  std::vector<size_t> row(b.size() + 1);
  for (size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (size_t i = 1; i <= a.size(); ++i) {
    size_t corner = row[0];
    row[0] = i;
    for (size_t j = 1; j <= b.size(); ++j) {
      const size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, corner + (a[i - 1] == b[j - 1] ? 0 : 1)});
      corner = above;
    }
  }
  return row[b.size()];
}

std::string Near(const std::vector<Named>& all, absl::string_view name) {
  const std::string wanted = absl::AsciiStrToLower(name);
  std::vector<std::pair<size_t, std::string>> near;
  for (const Named& named : all) {
    if (named.retired) continue;
    const std::string lower = absl::AsciiStrToLower(named.name);
    size_t distance = Distance(wanted, lower);
    if (!wanted.empty() && absl::StrContains(lower, wanted)) distance = 0;
    if (distance <= std::max<size_t>(1, wanted.size() / 3)) near.emplace_back(distance, named.name);
  }
  std::stable_sort(near.begin(), near.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  if (near.size() > 4) near.resize(4);
  return absl::StrJoin(near, ", ", [](std::string* out, const auto& n) {
    absl::StrAppend(out, "'", n.second, "'");
  });
}

std::string KindWords(absl::Span<const v1::Thing::KindCase> kinds) {
  return absl::StrJoin(kinds, " or ",
                       [](std::string* out, auto kind) { absl::StrAppend(out, KindWord(kind)); });
}

absl::Status NotFound(const std::vector<Named>& all, absl::Span<const v1::Thing::KindCase> kinds,
                      absl::string_view name) {
  const std::string words = KindWords(kinds);
  const std::string near = Near(all, name);
  if (!near.empty()) {
    return absl::NotFoundError(
        absl::StrCat("no ", words, " is called '", name, "'. Did you mean ", near, "?"));
  }
  if (all.empty())
    return absl::NotFoundError(
        absl::StrCat("no ", words, " is called '", name, "': there is none yet"));
  return absl::NotFoundError(absl::StrCat("no ", words, " is called '", name, "'"));
}

}  // namespace

absl::string_view KindWord(v1::Thing::KindCase kind) {
  switch (kind) {
    case v1::Thing::kVessel:
      return "vessel";
    case v1::Thing::kEquipment:
      return "gear";
    case v1::Thing::kMaterial:
      return "material";
    case v1::Thing::kMaterialLot:
      return "packet";
    case v1::Thing::kBin:
      return "bin";
    case v1::Thing::kMember:
      return "member";
    case v1::Thing::kLot:
      return "lot";
    case v1::Thing::kBottling:
      return "bottling";
    case v1::Thing::KIND_NOT_SET:
      break;
  }
  return "thing";
}

absl::StatusOr<Handle> FindByName(const Fold& fold, absl::Span<const v1::Thing::KindCase> kinds,
                                  absl::string_view name) {
  const std::vector<Named> all = AllNamed(fold, kinds);
  const auto matches = [&](auto&& same) {
    std::vector<Named> found;
    for (const bool retired : {false, true}) {
      for (const Named& named : all) {
        if (named.retired == retired && same(named)) found.push_back(named);
      }
      if (!found.empty()) break;
    }
    return found;
  };
  std::vector<Named> found = matches([&](const Named& n) { return n.name == name; });
  if (found.empty())
    found = matches([&](const Named& n) { return absl::EqualsIgnoreCase(n.name, name); });
  if (found.empty() && !name.empty())
    found = matches([&](const Named& n) { return absl::EqualsIgnoreCase(n.code, name); });
  if (found.empty() && name.size() >= 4) {
    found = matches([&](const Named& n) {
      return absl::StartsWithIgnoreCase(fold.interner().id(n.handle).ToString(), name);
    });
  }
  if (found.empty()) return NotFound(all, kinds, name);
  if (found.size() == 1) return found.front().handle;
  return absl::FailedPreconditionError(
      absl::StrCat("'", name, "' may be ",
                   absl::StrJoin(found, " or ",
                                 [&](std::string* out, const Named& n) {
                                   absl::StrAppend(out, "the ", KindWord(n.kind), " ",
                                                   fold.interner().id(n.handle).ToString());
                                 }),
                   ": write one of these ids, or change one of the names"));
}

absl::StatusOr<Handle> FindByName(const Fold& fold, v1::Thing::KindCase kind,
                                  absl::string_view name) {
  return FindByName(fold, absl::MakeConstSpan(&kind, 1), name);
}

Handle HandleOf(const Fold& fold, const std::string& id) {
  const auto uuid = Uuid::FromBytes(id);
  return uuid.ok() ? fold.interner().Find(*uuid) : kNoHandle;
}

std::string NameOf(const Fold& fold, Handle thing) {
  return thing == kNoHandle ? "" : fold.directory().NameOf(thing, fold.sequence());
}

const v1::Material* FindMaterial(const Fold& fold, Handle material_or_packet) {
  const Directory::Known* known = fold.directory().Find(material_or_packet);
  if (known != nullptr && known->thing.has_material_lot()) {
    known = fold.directory().Find(HandleOf(fold, known->thing.material_lot().material_id()));
  }
  return known == nullptr || !known->thing.has_material() ? nullptr : &known->thing.material();
}

std::vector<Handle> ThingsByName(const Fold& fold, v1::Thing::KindCase kind, bool with_retired) {
  std::vector<Handle> things;
  for (const Named& named : AllNamed(fold, absl::MakeConstSpan(&kind, 1))) {
    if (with_retired || !named.retired) things.push_back(named.handle);
  }
  return things;
}

bool IsInside(const Fold& fold, Handle bin, Handle outer) {
  // Two people may have put two bins into each other: nothing lies deeper than this.
  constexpr int kDeepest = 32;
  for (int depth = 0; depth < kDeepest && bin != kNoHandle; ++depth) {
    if (bin == outer) return true;
    const Directory::Known* known = fold.directory().Find(bin);
    bin = known == nullptr ? kNoHandle : HandleOf(fold, known->thing.bin().inside_id());
  }
  return false;
}

std::vector<Handle> VesselsHolding(const Fold& fold, Handle lot) {
  std::vector<Handle> vessels;
  for (const Handle vessel : ThingsByName(fold, v1::Thing::kVessel, true)) {
    const Holding& holding = fold.state().holding(vessel);
    if (holding.volume_ul > 0 && holding.lot == lot) vessels.push_back(vessel);
  }
  return vessels;
}

}  // namespace rundlet

#ifndef RUNDLET_CORE_VIEW_NAMES_H_
#define RUNDLET_CORE_VIEW_NAMES_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/fold/fold.h"

namespace rundlet {

// "vessel", "material lot" ...
absl::string_view KindWord(v1::Thing::KindCase kind);

// The thing that a person means by a name: the exact name, else the name in any case, else the code
// printed on a packet, else the beginning of an id of at least four characters. Retired things are
// found only where no other answers to the name.
//
// NotFound: nothing is called so; the text offers names that are near. FailedPrecondition: several
// are; the text lists them with the ids that tell them apart.
absl::StatusOr<Handle> FindByName(const Fold& fold, v1::Thing::KindCase kind,
                                  absl::string_view name);

// The same over several kinds, tried together ("C1" may be a vessel or a lot).
absl::StatusOr<Handle> FindByName(const Fold& fold, absl::Span<const v1::Thing::KindCase> kinds,
                                  absl::string_view name);

// The thing that an entry means by the bytes of its id; kNoHandle where they are no id, or of
// nothing that is known.
Handle HandleOf(const Fold& fold, const std::string& id);

// A thing's name; empty for kNoHandle.
std::string NameOf(const Fold& fold, Handle thing);

// What is known of a material by its handle or by that of a packet of it; nullptr if nothing is.
const v1::Material* FindMaterial(const Fold& fold, Handle material_or_packet);

// Things of a kind that are not retired, by name.
std::vector<Handle> ThingsByName(const Fold& fold, v1::Thing::KindCase kind,
                                 bool with_retired = false);

// Whether a bin is the other, or lies in it: a shelf of a rack, a case on a shelf.
bool IsInside(const Fold& fold, Handle bin, Handle outer);

// The vessels that hold wine of a lot, by name.
std::vector<Handle> VesselsHolding(const Fold& fold, Handle lot);

}  // namespace rundlet

#endif  // RUNDLET_CORE_VIEW_NAMES_H_

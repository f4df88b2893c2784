#ifndef RUNDLET_CORE_RULES_GROUPS_H_
#define RUNDLET_CORE_RULES_GROUPS_H_

#include "absl/types/span.h"
#include "rundlet/rules/v1/rule.pb.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet::rules {

// The first of the groups whose words stand in the name or the kind of a material, and none that
// rules it out; null if there is none. A group that has an allergen is told by the allergens as
// well. What yields SO2 is a sulfite, whatever its name.
const v1::Group* FindGroup(absl::Span<const v1::Group> groups,
                           const rundlet::v1::Material& material);

// The same of the groups of this program (rules/materials.textproto), which live as long as it
// does.
const v1::Group* GroupOf(const rundlet::v1::Material& material);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_GROUPS_H_

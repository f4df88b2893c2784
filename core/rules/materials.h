#ifndef RUNDLET_CORE_RULES_MATERIALS_H_
#define RUNDLET_CORE_RULES_MATERIALS_H_

#include <optional>
#include <string>

#include "absl/container/flat_hash_map.h"
#include "absl/strings/string_view.h"
#include "absl/types/span.h"
#include "core/fold/fold.h"
#include "core/rules/limit.h"
#include "rundlet/rules/v1/rule.pb.h"

namespace rundlet::rules {

// What the materials of a cellar are to the rules. Remembers what it has found; good as long as the
// fold does not change. Not safe to share between threads.
class Materials {
 public:
  Materials(const Fold& fold, absl::Span<const v1::Group> groups) : fold_(fold), groups_(groups) {}

  // The group of a material, by its handle or by that of a packet of it; null if it is in none.
  const v1::Group* GroupOf(Handle material) const;

  // How much of a substance the doses of a wine brought, as a limit counts it: micrograms. What is
  // counted in pieces or millilitres says nothing of a mass.
  int64_t MassOf(absl::Span<const Share> doses, v1::Substance substance,
                 absl::string_view counted_as) const;
  // Whether some of a group is among the doses.
  bool AnyOf(absl::Span<const Share> doses, const v1::Happening& happening) const;

  // The name that people gave the material.
  std::string NameOf(Handle material) const;

 private:
  const Fold& fold_;
  absl::Span<const v1::Group> groups_;
  mutable absl::flat_hash_map<Handle, const v1::Group*> known_;
};

// Whether a group is one of those that a happening names.
bool Names(const v1::Happening& happening, const v1::Group* group);

}  // namespace rundlet::rules

#endif  // RUNDLET_CORE_RULES_MATERIALS_H_

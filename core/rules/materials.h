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

  // What an amount of a material weighs, in micrograms: what was weighed itself; of pieces and
  // millilitres by what one of them holds. Nothing where nobody has said that.
  std::optional<int64_t> WeightOf(Handle material, rundlet::v1::Dimension dimension,
                                  int64_t amount) const;

  // How much of a substance the doses of a wine brought, as a limit counts it: micrograms. What
  // nobody has said the weight of is left out; WhyUncounted() tells of it.
  int64_t MassOf(absl::Span<const Share> doses, v1::Substance substance,
                 absl::string_view counted_as) const;
  // How much of it was poured in, in microlitres.
  int64_t VolumeOf(absl::Span<const Share> doses, v1::Substance substance) const;

  // What nobody has said of a material so that no mass of a dose of it can be told, in a few words;
  // empty where it can, or where the law has no name for it.
  absl::string_view WhyUncounted(const CommodityInfo& dose) const;
  // Whether some of a group is among the doses.
  bool AnyOf(absl::Span<const Share> doses, const v1::Happening& happening) const;

  // Whether a fining, which falls to the ground, is what the law calls by one of these names.
  bool AnyFiningIs(absl::Span<const v1::Substance> substances) const;

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

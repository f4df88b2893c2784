#include "core/closing/past.h"

#include "core/closing/reach.h"
#include "core/entry/named_ids.h"

namespace rundlet::closing {
namespace {

Uuid SubjectOf(const v1::Entry& entry) {
  const auto id = Uuid::FromBytes(Directory::SubjectId(entry));
  return id.ok() ? *id : Uuid();
}

}  // namespace

void Past::Add(const v1::Entry& entry, bool early) {
  if (entry.has_registered() || entry.has_changed()) {
    sayings_.push_back({.entry = entry, .early = early});
    return;
  }
  if (ReachesNowhere(entry.body_case()) || entry.has_void_() || entry.has_retired()) return;
  if (entry.effective_at_us() >= until_us_) return;
  ++entries_;
  dated_.push_back(entry);
  // Author and cellar are named by the envelope, the rest by the body.
  ForEachNamedId(entry, [this](const Uuid& id) { named_.insert(id); });
}

absl::flat_hash_set<Uuid> Past::Named() const {
  absl::flat_hash_set<Uuid> named = named_;
  for (bool grew = true; grew;) {
    const size_t before = named.size();
    for (const Saying& saying : sayings_) {
      if (!named.contains(SubjectOf(saying.entry))) continue;
      const auto take = [&named](const Uuid& id) { named.insert(id); };
      ForEachNamedId(
          saying.entry.has_registered() ? saying.entry.registered() : saying.entry.changed(), take);
    }
    grew = named.size() > before;
  }
  return named;
}

std::unique_ptr<Fold> Past::Make(bool early_only) const {
  auto fold = std::make_unique<Fold>();
  const absl::flat_hash_set<Uuid> named = Named();
  for (const Saying& saying : sayings_) {
    if (early_only && !saying.early) continue;
    if (named.contains(SubjectOf(saying.entry))) fold->Insert(saying.entry);
  }
  for (const v1::Entry& entry : dated_) fold->Insert(entry);
  fold->Settle();
  return fold;
}

}  // namespace rundlet::closing

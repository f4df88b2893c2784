#include "client/cellar/stamp.h"

#include <algorithm>

#include "absl/container/flat_hash_set.h"
#include "core/fold/act.h"

namespace rundlet::client {
namespace {

bool NamesAThing(Role role) {
  switch (role) {
    case Role::kOutflow:
    case Role::kAccount:
    case Role::kMeasure:
    case Role::kTreatment:
    case Role::kTolerance:
    case Role::kVolume:
    case Role::kAdopted:
      return false;
    default:
      return true;
  }
}

bool IsAboutTheDirectory(ActKind kind) {
  return kind == ActKind::kDirectory || kind == ActKind::kSettings;
}

// A clock may be some hours ahead, by a wrong time zone say. What is dated further ahead than that
// is a slip, and must not drag all that comes after it along.
constexpr int64_t kFarAheadUs = int64_t{26} * 3600 * 1'000'000;

}  // namespace

int64_t TimeForNow(const Fold& fold, absl::Span<const v1::Entry> drafts, int64_t now_us) {
  absl::flat_hash_set<Handle> things;
  bool directory = false;
  Interner interner;
  Commodities commodities;
  for (const v1::Entry& draft : drafts) {
    const Act act = MakeAct(draft, interner, commodities);
    directory = directory || IsAboutTheDirectory(act.kind);
    for (const Line& line : act.lines) {
      if (NamesAThing(line.role)) things.insert(fold.interner().Find(interner.id(line.handle)));
    }
  }
  things.erase(kNoHandle);

  // Only what is dated at or after now can push it on, and that is rarely more than a few entries
  // at the end.
  const Sequence& sequence = fold.sequence();
  for (size_t position = sequence.size(); position-- > 0;) {
    const Row& row = sequence.row(sequence.at(position));
    if (row.effective_at_us < now_us) break;
    if (row.standing != Row::Standing::kCounts) continue;
    if (row.effective_at_us - now_us > kFarAheadUs) continue;
    bool same = directory && IsAboutTheDirectory(row.kind);
    for (const Line& line : sequence.lines(row)) {
      same = same || (NamesAThing(line.role) && things.contains(line.handle));
    }
    if (same) return row.effective_at_us + 1;
  }
  return now_us;
}

}  // namespace rundlet::client

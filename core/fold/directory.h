#ifndef RUNDLET_CORE_FOLD_DIRECTORY_H_
#define RUNDLET_CORE_FOLD_DIRECTORY_H_

#include <string>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/container/inlined_vector.h"
#include "absl/functional/function_ref.h"
#include "core/fold/ids.h"
#include "core/fold/sequence.h"
#include "rundlet/v1/entry.pb.h"
#include "rundlet/v1/things.pb.h"

namespace rundlet {

// The name that a thing's own fields give it, whatever kind it is; empty if none.
const std::string& NameOfThing(const v1::Thing& thing);

// The named things of the cellar, and its settings.
//
// A thing is known from the beginning of time: its registration counts whatever its date, so that
// work can be filed before the day on which somebody typed the vessel in. Of what was said of a
// thing, each field is as the latest entry in fold order says. So the directory depends on the set
// of entries only, and nothing needs to be rewound for it - except that entries which name a thing
// are held until it is known.
class Directory {
 public:
  struct Known {
    v1::Thing thing;
    bool retired = false;
  };

  // Takes a directory or settings entry in. `row` is its place in `sequence`.
  void Add(RowId row, Handle subject, const v1::Entry& entry, const Sequence& sequence);

  // Works the thing out again after an entry about it came or went. True if what kind of thing it
  // is, or whether it is known at all, changed.
  bool Update(Handle subject, const Sequence& sequence);

  // What kind of thing a handle stands for; KIND_NOT_SET while nobody has registered it.
  v1::Thing::KindCase kind(Handle handle) const {
    return handle < kinds_.size() ? kinds_[handle] : v1::Thing::KIND_NOT_SET;
  }

  // The thing as it is known now; nullptr while nobody has registered it.
  const Known* Find(Handle handle) const {
    const auto it = known_.find(handle);
    return it == known_.end() ? nullptr : &it->second;
  }
  // What was said of a thing whose registration counts no longer; nullptr for all others.
  const v1::Thing* FindFormer(Handle handle) const;
  // Its name, or the one that it had before its registration was voided, or its id.
  std::string NameOf(Handle handle, const Sequence& sequence) const;

  // All things of a kind, in no particular order.
  void ForEach(v1::Thing::KindCase kind, absl::FunctionRef<void(Handle, const Known&)> visit) const;

  const v1::SettingsChanged& settings() const { return settings_; }

  // The handle under which settings are filed.
  static constexpr Handle kSettings = kNoHandle;
  // The thing that a directory entry speaks of.
  static absl::string_view SubjectId(const v1::Entry& entry);

 private:
  friend class SnapshotParts;

  // What one entry says.
  struct Saying {
    RowId row;
    v1::Entry entry;  // body only
  };

  absl::flat_hash_map<Handle, std::vector<Saying>> sayings_;
  absl::flat_hash_map<Handle, Known> known_;
  std::vector<v1::Thing::KindCase> kinds_;  // by handle
  v1::SettingsChanged settings_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_DIRECTORY_H_

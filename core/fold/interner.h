#ifndef RUNDLET_CORE_FOLD_INTERNER_H_
#define RUNDLET_CORE_FOLD_INTERNER_H_

#include <tuple>
#include <vector>

#include "absl/container/flat_hash_map.h"
#include "absl/types/span.h"
#include "core/base/uuid.h"
#include "core/fold/ids.h"

namespace rundlet {

// Gives each id a small number in the order in which ids are first met. Handle 0 is the nil id:
// none.
class Interner {
 public:
  Interner() { Intern(Uuid()); }

  Handle Intern(const Uuid& id) {
    const auto [it, fresh] = handles_.try_emplace(id, static_cast<Handle>(ids_.size()));
    if (fresh) ids_.push_back(id);
    return it->second;
  }

  // The handle of an id met before, or kNoHandle.
  Handle Find(const Uuid& id) const {
    const auto it = handles_.find(id);
    return it == handles_.end() ? kNoHandle : it->second;
  }

  const Uuid& id(Handle handle) const { return ids_[handle]; }
  size_t size() const { return ids_.size(); }
  absl::Span<const Uuid> ids() const { return ids_; }

 private:
  std::vector<Uuid> ids_;
  absl::flat_hash_map<Uuid, Handle> handles_;
};

// What a commodity is.
struct CommodityInfo {
  enum class Kind : uint32_t { kWine = 0, kMaterial = 1, kBottles = 2 };

  Kind kind = Kind::kWine;
  Handle handle =
      kNoHandle;        // the material lot, or the material where no stock is kept, or the bottling
  int64_t measure = 0;  // a material's v1::Dimension, or the bottle's size in microlitres

  friend bool operator==(const CommodityInfo&, const CommodityInfo&) = default;
  template <typename H>
  friend H AbslHashValue(H state, const CommodityInfo& info) {
    return H::combine(std::move(state), info.kind, info.handle, info.measure);
  }
};

// Numbers commodities in the order in which they are first met; wine is 0. One material lot weighed
// in grams and counted in pieces is two commodities, which are never added up.
class Commodities {
 public:
  Commodities() { Intern({}); }

  Commodity Intern(const CommodityInfo& info) {
    const auto [it, fresh] = numbers_.try_emplace(info, static_cast<Commodity>(infos_.size()));
    if (fresh) infos_.push_back(info);
    return it->second;
  }

  const CommodityInfo& info(Commodity commodity) const { return infos_[commodity]; }
  size_t size() const { return infos_.size(); }
  absl::Span<const CommodityInfo> infos() const { return infos_; }

 private:
  std::vector<CommodityInfo> infos_;
  absl::flat_hash_map<CommodityInfo, Commodity> numbers_;
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_FOLD_INTERNER_H_

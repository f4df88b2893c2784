#include "client/commands/handover_rights.h"

#include <optional>
#include <utility>

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/rights/rights.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

absl::StatusOr<std::optional<v1::Entry>> FindEntry(Cellar& cellar, const Handover& handover,
                                                   const std::string& id) {
  for (const Handover::Item& item : handover.items) {
    if (item.entry.entry_id() == id) return item.entry;
  }
  const auto uuid = Uuid::FromBytes(id);
  if (!uuid.ok()) return std::nullopt;
  const auto stored = cellar.store.Find(*uuid);
  if (absl::IsNotFound(stored.status())) return std::nullopt;
  if (!stored.ok()) return stored.status();
  auto entry = ReadEntry(stored->bytes);
  if (!entry.ok()) return entry.status();
  return *std::move(entry);
}

// Empty if it may go.
absl::StatusOr<std::string> WhyItStays(Cellar& cellar, const Handover& handover,
                                       const v1::Entry& entry) {
  std::optional<v1::Entry> target;
  if (entry.has_void_() || entry.has_amendment()) {
    const std::string& id =
        entry.has_void_() ? entry.void_().target_id() : entry.amendment().target_id();
    auto found = FindEntry(cellar, handover, id);
    if (!found.ok()) return found.status();
    if (!found->has_value()) {
      const auto uuid = Uuid::FromBytes(id);
      return absl::StrCat("it is about entry ", uuid.ok() ? ShortId(*uuid) : "?",
                          ", which is not here: rundlet sync, then take the file over again");
    }
    target = *std::move(found);
  }
  if (MayDo(MemberRole::kHand, RoleForEntry(entry, target.has_value() ? &*target : nullptr)))
    return "";
  return "only a cellar master writes that, and a file does not show who wrote it: a master enters "
         "it anew";
}

}  // namespace

absl::StatusOr<std::vector<LeftOut>> TakeOut(Cellar& cellar, Handover& handover) {
  std::vector<std::string> reasons;
  for (const Handover::Item& item : handover.items) {
    auto why = WhyItStays(cellar, handover, item.entry);
    if (!why.ok()) return why.status();
    reasons.push_back(*std::move(why));
  }
  std::vector<Handover::Item> going;
  std::vector<LeftOut> left_out;
  for (size_t i = 0; i < reasons.size(); ++i) {
    Handover::Item& item = handover.items[i];
    if (reasons[i].empty()) {
      going.push_back(std::move(item));
    } else {
      left_out.push_back({.item = std::move(item), .why = std::move(reasons[i])});
    }
  }
  handover.items = std::move(going);
  return left_out;
}

}  // namespace rundlet::client

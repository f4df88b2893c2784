#include "client/store/rewriter.h"

#include "absl/strings/str_cat.h"
#include "core/entry/entry.h"
#include "core/entry/limits.h"

namespace rundlet::client {
namespace {

// A running number and a hash where there was none take no more than this.
constexpr size_t kEnvelopeGrowth = 100;

absl::StatusOr<Place> MakePlace(const std::string& device_id, uint64_t device_seq) {
  const auto id = Uuid::FromBytes(device_id);
  if (!id.ok()) return id.status();
  return Place{.device_id = *id, .device_seq = device_seq};
}

}  // namespace

Place PlaceOf(const v1::Entry& entry) {
  const auto place = entry.has_amendment() ? MakePlace(entry.amendment().place_device_id(),
                                                       entry.amendment().place_device_seq())
                                           : MakePlace(entry.device_id(), entry.device_seq());
  return place.value_or(Place());
}

absl::StatusOr<WrittenEntry> Rewriter::Rewrite(absl::string_view bytes,
                                               absl::string_view add_note) {
  auto entry = ParseEntry(bytes);
  if (absl::IsUnimplemented(entry.status())) {
    return absl::UnimplementedError(
        "an entry that waits here was written by a newer Rundlet: upgrade this one, then try "
        "again");
  }
  if (!entry.ok()) return entry.status();
  const auto id = Uuid::FromBytes(entry->entry_id());
  if (!id.ok()) return id.status();
  const Place old = PlaceOf(*entry);
  if (entry->has_amendment()) {
    if (const auto moved = moved_.find(old); moved != moved_.end()) {
      entry->mutable_amendment()->set_place_device_id(moved->second.device_id.ToBytes());
      entry->mutable_amendment()->set_place_device_seq(moved->second.device_seq);
    }
  } else {
    Moved(old, {.device_id = writer_.device_id, .device_seq = head_.device_seq + 1});
  }
  if (!add_note.empty() && bytes.size() + add_note.size() + kEnvelopeGrowth <= kMaxEntryBytes)
    entry->set_note(entry->note().empty() ? std::string(add_note)
                                          : absl::StrCat(entry->note(), " (", add_note, ")"));
  return Write(*id, *std::move(entry));
}

absl::StatusOr<WrittenEntry> Rewriter::Write(const Uuid& entry_id, v1::Entry draft) {
  draft.clear_previous_hash();
  return WriteEntry(writer_, entry_id, std::move(draft), head_);
}

}  // namespace rundlet::client

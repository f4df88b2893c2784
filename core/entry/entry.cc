#include "core/entry/entry.h"

#include "absl/strings/str_cat.h"
#include "core/entry/check.h"
#include "core/entry/check_body.h"
#include "core/entry/limits.h"

namespace rundlet {
namespace {

absl::Status CheckEnvelope(const v1::Entry& entry) {
  Checker check("entry");
  check.NeedId(entry.entry_id(), "the entry");
  check.NeedId(entry.cellar_id(), "the cellar");
  check.NeedId(entry.author_id(), "the author");
  check.NeedId(entry.device_id(), "the device");
  check.Need(entry.device_seq() >= 1, "a running number from 1");
  check.Need(entry.device_seq() <= INT64_MAX, "a running number within 63 bits");
  check.Need((entry.device_seq() == 1) == entry.previous_hash().empty(),
             "the previous hash, except in a device's first");
  check.Need(entry.previous_hash().empty() || entry.previous_hash().size() == sizeof(Hash),
             "a previous hash of 32 bytes");
  check.Need(entry.format_version() >= 1, "a format version");
  check.Need(entry.effective_at_us() >= kMinTimeUs && entry.effective_at_us() <= kMaxTimeUs,
             "a time between 1900 and 2200");
  check.Need(entry.written_at_us() >= kMinTimeUs && entry.written_at_us() <= kMaxTimeUs,
             "a time of writing between 1900 and 2200");
  check.Need(entry.utc_offset_min() >= -18 * 60 && entry.utc_offset_min() <= 18 * 60,
             "a UTC offset of at most 18 hours");
  if (entry.has_amendment()) {
    const v1::Amendment& amendment = entry.amendment();
    check.NeedId(amendment.target_id(), "the amended entry");
    check.NeedId(amendment.place_device_id(), "the amended place's device");
    check.Need(amendment.place_device_seq() >= 1 && amendment.place_device_seq() <= INT64_MAX,
               "the amended place's running number");
    check.Need(amendment.target_id() != entry.entry_id(), "an amended entry other than itself");
  }
  return check.status();
}

}  // namespace

absl::Status CheckEntry(const v1::Entry& entry) {
  if (absl::Status status = CheckEnvelope(entry); !status.ok()) return status;
  if (entry.format_version() > kFormatVersion) {
    return absl::UnimplementedError(absl::StrCat("entry of format ", entry.format_version(),
                                                 ", this build knows ", kFormatVersion,
                                                 ": upgrade Rundlet to read it"));
  }
  if (entry.body_case() == v1::Entry::BODY_NOT_SET) {
    return absl::UnimplementedError(
        "entry of a kind that this build does not know: upgrade Rundlet to read it");
  }
  return CheckBody(entry);
}

absl::StatusOr<v1::Entry> ParseEntry(absl::string_view bytes) {
  if (bytes.size() > kMaxEntryBytes) {
    return absl::InvalidArgumentError(
        absl::StrCat("entry of ", bytes.size(), " bytes: at most ", kMaxEntryBytes, " are taken"));
  }
  v1::Entry entry;
  if (!entry.ParseFromArray(bytes.data(), static_cast<int>(bytes.size()))) {
    return absl::InvalidArgumentError("these bytes are not an entry");
  }
  if (absl::Status status = CheckEntry(entry); !status.ok()) return status;
  return entry;
}

Hash LeafHash(Sha256& sha, absl::string_view bytes) {
  static constexpr char kLeafPrefix = 0;
  sha.Update(absl::string_view(&kLeafPrefix, 1));
  sha.Update(bytes);
  return sha.Finish();
}

absl::string_view KindName(const v1::Entry& entry) {
  const auto* field = v1::Entry::descriptor()->FindFieldByNumber(entry.body_case());
  return field == nullptr ? absl::string_view("unknown") : absl::string_view(field->name());
}

}  // namespace rundlet

#include "core/entry/writer.h"

#include "core/entry/entry.h"
#include "core/entry/limits.h"

namespace rundlet {

absl::StatusOr<WrittenEntry> WriteEntry(const Writer& writer, const Uuid& entry_id, v1::Entry draft,
                                        ChainHead& head) {
  draft.set_entry_id(entry_id.ToBytes());
  draft.set_cellar_id(writer.cellar_id.ToBytes());
  draft.set_author_id(writer.member_id.ToBytes());
  draft.set_device_id(writer.device_id.ToBytes());
  draft.set_device_seq(head.device_seq + 1);
  if (head.device_seq > 0) draft.set_previous_hash(std::string(HashBytes(head.hash)));
  draft.set_format_version(kFormatVersion);
  if (absl::Status status = CheckEntry(draft); !status.ok()) return status;

  WrittenEntry written;
  written.bytes = draft.SerializeAsString();
  if (written.bytes.size() > kMaxEntryBytes) {
    return absl::InvalidArgumentError(
        "this is too long for one entry: shorten the note, or split it into two");
  }
  // Everybody else reads the bytes, and protobuf writes text that it will not read.
  if (!ParseEntry(written.bytes).ok()) {
    return absl::InvalidArgumentError(
        "a text in this entry is not UTF-8: set the terminal to UTF-8 and write it again");
  }
  Sha256 sha;
  written.hash = LeafHash(sha, written.bytes);
  written.entry = std::move(draft);
  head = {.device_seq = head.device_seq + 1, .hash = written.hash};
  return written;
}

}  // namespace rundlet

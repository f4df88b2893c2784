#include "client/commands/handover_file.h"

#include <algorithm>
#include <utility>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/base/file.h"
#include "client/cellar/open_returns.h"
#include "client/cli/id_json.h"
#include "client/cli/json.h"
#include "client/cli/json_line.h"
#include "core/entry/entry.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr char kFormat[] = "rundlet handover";
constexpr int64_t kVersion = 1;

absl::Status Fault(const std::string& path, size_t line, absl::string_view what) {
  return absl::InvalidArgumentError(
      absl::StrCat(path, ", line ", line, ": ", what, ". Nothing was taken"));
}

absl::StatusOr<Handover::Item> ReadItem(const std::string& line) {
  const auto object = JsonLine::Parse(line);
  if (!object.ok()) return object.status();
  auto bytes = EntryBytes(*object);
  if (!bytes.ok()) return bytes.status();
  auto entry = ParseEntry(*bytes);
  if (absl::IsUnimplemented(entry.status()))
    return absl::InvalidArgumentError("the entry is of a newer Rundlet: upgrade this one");
  if (!entry.ok()) return entry.status();
  return Handover::Item{.bytes = *std::move(bytes),
                        .entry = *std::move(entry),
                        .state = object->Text("state"),
                        .summary = ""};
}

}  // namespace

absl::StatusOr<Handover> CollectHandover(Cellar& cellar) {
  const Device& device = cellar.store.device();
  Handover handover{.cellar_id = device.cellar_id,
                    .cellar_name = device.cellar_name,
                    .device_name = device.device_name,
                    .member_name = device.member_name,
                    .items = {}};
  const auto returned = OpenReturns(cellar);
  if (!returned.ok()) return returned.status();
  std::vector<int64_t> open;
  for (const StoredEntry& each : *returned) open.push_back(each.local_no);
  absl::Status status = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    const bool waits = stored.state == EntryState::kOutbox;
    if (!waits && std::find(open.begin(), open.end(), stored.local_no) == open.end())
      return absl::OkStatus();
    if (!stored.whole)
      return absl::DataLossError(absl::StrCat(
          "entry ", ShortId(stored.id), " is damaged: save what is whole with: rundlet repair"));
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) return entry.status();
    // What a device says of its own key is nothing for another one.
    if (entry->has_device_enrolled()) return absl::OkStatus();
    handover.items.push_back({.bytes = stored.bytes,
                              .entry = *entry,
                              .state = waits ? "outbox" : "returned",
                              .summary = Summarise(*cellar.fold, *entry)});
    return absl::OkStatus();
  });
  if (!status.ok()) return status;
  return handover;
}

absl::Status WriteHandover(const Handover& handover, const std::string& path) {
  if (absl::Status seen = LookForFile(path); !absl::IsNotFound(seen)) {
    if (!seen.ok()) return seen;
    return absl::AlreadyExistsError(
        absl::StrCat("there is a ", path, " already: name a new file, nothing was written"));
  }
  std::string text =
      absl::StrCat(JsonObject()
                       .Text("format", kFormat)
                       .Number("version", kVersion)
                       .Text("cellar_id", handover.cellar_id.ToString())
                       .Text("cellar", handover.cellar_name)
                       .Text("device", handover.device_name)
                       .Text("member", handover.member_name)
                       .Number("entries", static_cast<int64_t>(handover.items.size()))
                       .Finish(),
                   "\n");
  Sha256 sha;
  for (const Handover::Item& item : handover.items) {
    absl::StrAppend(&text,
                    JsonObject()
                        .Text("hash", absl::BytesToHexString(HashBytes(LeafHash(sha, item.bytes))))
                        .Text("bytes", absl::Base64Escape(item.bytes))
                        .Text("state", item.state)
                        .Text("summary", item.summary)
                        .Raw("entry", JsonWithIds(item.entry))
                        .Finish(),
                    "\n");
  }
  return WritePrivateFile(path, text);
}

absl::StatusOr<Handover> ReadHandover(const std::string& path) {
  const auto text = ReadFile(path);
  if (!text.ok()) return text.status();
  std::vector<std::string> lines = absl::StrSplit(*text, '\n');
  if (!lines.back().empty()) return Fault(path, lines.size(), "it is cut short");
  lines.pop_back();
  const auto head = JsonLine::Parse(lines.empty() ? "" : lines[0]);
  if (!head.ok() || head->Text("format") != kFormat)
    return Fault(path, 1, "this is no handover: rundlet handover writes one");
  if (head->Number("version") != kVersion)
    return Fault(path, 1, "the handover is of a newer format: upgrade Rundlet");
  const auto cellar_id = Uuid::Parse(head->Text("cellar_id"));
  if (!cellar_id.ok()) return Fault(path, 1, "it does not say which cellar it is of");
  Handover handover{.cellar_id = *cellar_id,
                    .cellar_name = head->Text("cellar"),
                    .device_name = head->Text("device"),
                    .member_name = head->Text("member"),
                    .items = {}};
  for (size_t i = 1; i < lines.size(); ++i) {
    auto item = ReadItem(lines[i]);
    if (!item.ok()) return Fault(path, i + 1, item.status().message());
    if (item->entry.cellar_id() != cellar_id->bytes())
      return Fault(path, i + 1, "the entry is of another cellar");
    // Taken over, it would change the key of the device that takes it.
    if (item->entry.has_device_enrolled())
      return Fault(path, i + 1, "it is about the key of a device, which no handover holds");
    handover.items.push_back(*std::move(item));
  }
  if (static_cast<double>(handover.items.size()) != head->Number("entries"))
    return Fault(path, lines.size(), "entries are missing after it");
  return handover;
}

}  // namespace rundlet::client

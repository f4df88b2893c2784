#include "client/commands/archive.h"

#include <fstream>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/cli/id_json.h"
#include "client/cli/json.h"
#include "client/cli/json_line.h"
#include "core/entry/entry.h"

namespace rundlet::client {
namespace {

constexpr char kFormat[] = "rundlet cellar";
constexpr double kVersion = 1;
constexpr size_t kLongestLine = 16 << 20;  // many times the largest entry

std::string Hex(const Hash& hash) { return absl::BytesToHexString(HashBytes(hash)); }

class ArchiveReader {
 public:
  explicit ArchiveReader(absl::FunctionRef<absl::Status(const std::string&)> take) : take_(take) {}

  absl::StatusOr<ArchiveHead> Read(std::istream& in) {
    std::string line;
    while (std::getline(in, line)) {
      ++number_;
      if (in.eof()) return Fault("it is cut short: the end of the line is missing");
      if (line.size() > kLongestLine) return Fault("it is longer than any entry");
      absl::Status status = number_ == 1 ? TakeHead(line) : TakeEntry(line);
      if (!status.ok()) return status;
    }
    if (number_ == 0) return absl::InvalidArgumentError("the file is empty, or cannot be read");
    if (entries_ != head_.entries) {
      ++number_;
      return Fault(absl::StrCat("the file ends before it: ", entries_, " of ", head_.entries,
                                " entries are there"));
    }
    return head_;
  }

 private:
  absl::Status Fault(absl::string_view what) const {
    return absl::InvalidArgumentError(
        absl::StrCat("line ", number_, ": ", what, ". Nothing was taken"));
  }

  absl::StatusOr<JsonLine> ReadObject(const std::string& line) const {
    auto object = JsonLine::Parse(line);
    if (!object.ok()) return Fault(object.status().message());
    return object;
  }

  absl::Status TakeHead(const std::string& line) {
    const auto object = ReadObject(line);
    if (!object.ok()) return object.status();
    if (object->Text("format") != kFormat) return Fault("this is no archive of a cellar");
    if (object->Number("version") != kVersion)
      return Fault("the archive is of a newer format: upgrade Rundlet");
    const auto cellar_id = Uuid::Parse(object->Text("cellar_id"));
    if (!cellar_id.ok()) return Fault("it does not say which cellar it is of");
    head_ = {.cellar_id = *cellar_id,
             .cellar_name = object->Text("cellar"),
             .entries = static_cast<int64_t>(object->Number("entries")),
             .digest = object->Text("digest")};
    return absl::OkStatus();
  }

  absl::Status TakeEntry(const std::string& line) {
    const auto object = ReadObject(line);
    if (!object.ok()) return object.status();
    const auto bytes = EntryBytes(*object);
    if (!bytes.ok()) return Fault(bytes.status().message());
    const auto entry = ReadEntry(*bytes);
    if (!entry.ok()) return Fault(absl::StrCat("this is no entry: ", entry.status().message()));
    if (entry->cellar_id() != head_.cellar_id.bytes()) return Fault("it is of another cellar");
    if (!seen_.insert(*Uuid::FromBytes(entry->entry_id())).second)
      return Fault("the entry was there before");
    ++entries_;
    return take_(*bytes);
  }

  absl::FunctionRef<absl::Status(const std::string&)> take_;
  int64_t number_ = 0;
  int64_t entries_ = 0;
  ArchiveHead head_;
  absl::flat_hash_set<Uuid> seen_;
};

}  // namespace

absl::Status WriteArchive(Cellar& cellar,
                          absl::FunctionRef<absl::Status(absl::string_view)> write) {
  if (!cellar.damage.empty()) {
    return absl::DataLossError(absl::StrCat("nothing was exported: ", cellar.damage.front(),
                                            ". Fetch it again first: rundlet sync"));
  }
  const Fold& fold = *cellar.fold;
  const Device& device = cellar.store.device();
  const auto count = static_cast<int64_t>(fold.sequence().rows());
  const std::string head = JsonObject()
                               .Text("format", kFormat)
                               .Number("version", static_cast<int64_t>(kVersion))
                               .Text("cellar_id", device.cellar_id.ToString())
                               .Text("cellar", device.cellar_name)
                               .Number("entries", count)
                               .Text("digest", Hex(fold.StateDigest()))
                               .Finish();
  if (absl::Status status = write(absl::StrCat(head, "\n")); !status.ok()) return status;
  int64_t written = 0;
  absl::Status status = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    // What came in since the book was opened is not of it yet.
    if (stored.state == EntryState::kReturned || fold.sequence().Find(stored.id) == kNone)
      return absl::OkStatus();
    if (!stored.whole) return absl::DataLossError("an entry was damaged on this disk meanwhile");
    const auto entry = ReadEntry(stored.bytes);
    if (!entry.ok()) return entry.status();
    ++written;
    const std::string line = JsonObject()
                                 .Text("hash", Hex(stored.hash))
                                 .Text("bytes", absl::Base64Escape(stored.bytes))
                                 .Raw("entry", JsonWithIds(*entry))
                                 .Finish();
    return write(absl::StrCat(line, "\n"));
  });
  if (!status.ok()) return status;
  if (written != count)
    return absl::AbortedError("the book changed meanwhile: the export is not whole; try again");
  return absl::OkStatus();
}

absl::StatusOr<ArchiveHead> ReadArchive(const std::string& path,
                                        absl::FunctionRef<absl::Status(const std::string&)> take) {
  std::ifstream in(path, std::ios::binary);
  if (!in.is_open()) return absl::NotFoundError(absl::StrCat("cannot open ", path));
  return ArchiveReader(take).Read(in);
}

}  // namespace rundlet::client

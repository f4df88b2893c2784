#include "client/store/page_scan.h"

#include <algorithm>
#include <map>
#include <optional>

#include "absl/strings/str_cat.h"
#include "client/store/log_check.h"

namespace rundlet::client {
namespace {

constexpr size_t kUsualPageBytes = 4096;
constexpr size_t kFileHeaderBytes = 100;  // at the beginning of page 1
constexpr size_t kWalHeaderBytes = 32;
constexpr size_t kWalFrameHeaderBytes = 24;
constexpr uint8_t kTableLeaf = 0x0d;
constexpr size_t kMaxPayload = 16 << 20;  // far beyond any row of ours

uint32_t Big(absl::string_view bytes, size_t at, size_t size) {
  uint32_t value = 0;
  for (size_t i = 0; i < size; ++i) value = value << 8 | static_cast<uint8_t>(bytes[at + i]);
  return value;
}

bool IsPageSize(size_t size) { return size >= 512 && size <= 65536 && (size & (size - 1)) == 0; }

// Reads on from one place to the next; any reading beyond the end fails for good.
class Cursor {
 public:
  explicit Cursor(absl::string_view bytes) : rest_(bytes) {}

  std::optional<uint64_t> Varint() {
    uint64_t value = 0;
    for (int i = 0; i < 9; ++i) {
      if (rest_.empty()) return std::nullopt;
      const auto byte = static_cast<uint8_t>(rest_[0]);
      rest_.remove_prefix(1);
      if (i == 8) return value << 8 | byte;
      value = value << 7 | (byte & 0x7f);
      if ((byte & 0x80) == 0) return value;
    }
    return std::nullopt;
  }
  std::optional<absl::string_view> Take(size_t size) {
    if (rest_.size() < size) return std::nullopt;
    const absl::string_view taken = rest_.substr(0, size);
    rest_.remove_prefix(size);
    return taken;
  }
  absl::string_view rest() const { return rest_; }

 private:
  absl::string_view rest_;
};

class Scanner {
 public:
  Scanner(absl::string_view file, absl::string_view wal) {
    if (file.size() >= kFileHeaderBytes) {
      size_t said = Big(file, 16, 2);
      if (said == 1) said = 65536;
      if (IsPageSize(said)) page_bytes_ = said;
    }
    for (uint32_t number = 1; number * page_bytes_ <= file.size(); ++number) {
      pages_[number] = file.substr((number - 1) * page_bytes_, page_bytes_);
    }
    LayWalOver(wal);
  }

  void Visit(absl::FunctionRef<void(int64_t, absl::Span<const ScannedColumn>)> visit) const {
    for (const auto& [number, page] : pages_) {
      const size_t header = number == 1 ? kFileHeaderBytes : 0;
      if (static_cast<uint8_t>(page[header]) != kTableLeaf) continue;
      const size_t cells = Big(page, header + 3, 2);
      for (size_t i = 0; i < cells && header + 10 + 2 * i <= page.size(); ++i) {
        VisitCell(page, Big(page, header + 8 + 2 * i, 2), visit);
      }
    }
  }

 private:
  void LayWalOver(absl::string_view wal) {
    if (wal.size() < kWalHeaderBytes + kWalFrameHeaderBytes) return;
    // Where the head of the log is damaged, its first frame says which round of the log this is.
    const bool is_whole = IsWholeLogHeader(wal.substr(0, kWalHeaderBytes));
    if (is_whole && Big(wal, 8, 4) != page_bytes_) return;
    const absl::string_view salts = wal.substr(is_whole ? 16 : kWalHeaderBytes + 8, 8);
    std::map<uint32_t, absl::string_view> uncommitted;
    const size_t frame_bytes = kWalFrameHeaderBytes + page_bytes_;
    for (size_t at = kWalHeaderBytes; at + frame_bytes <= wal.size(); at += frame_bytes) {
      // Frames of an earlier round of the log are older than the file; behind a damaged one there
      // may be more of this round.
      if (wal.substr(at + 8, 8) != salts) continue;
      uncommitted[Big(wal, at, 4)] = wal.substr(at + kWalFrameHeaderBytes, page_bytes_);
      if (Big(wal, at + 4, 4) == 0) continue;
      for (const auto& [number, page] : uncommitted) pages_[number] = page;
      uncommitted.clear();
    }
  }

  void VisitCell(absl::string_view page, size_t at,
                 absl::FunctionRef<void(int64_t, absl::Span<const ScannedColumn>)> visit) const {
    if (at >= page.size()) return;
    Cursor cell(page.substr(at));
    const auto payload_bytes = cell.Varint();
    const auto rowid = cell.Varint();
    if (!payload_bytes.has_value() || !rowid.has_value() || *payload_bytes > kMaxPayload) return;
    const auto payload = Payload(cell, *payload_bytes);
    if (!payload.has_value()) return;
    const auto columns = Columns(*payload);
    if (columns.has_value()) visit(static_cast<int64_t>(*rowid), *columns);
  }

  // A payload that does not fit its page goes on in a chain of overflow pages (section 1.6).
  std::optional<std::string> Payload(Cursor& cell, size_t size) const {
    const size_t most = page_bytes_ - 35;
    const size_t least = (page_bytes_ - 12) * 32 / 255 - 23;
    size_t local = size;
    if (size > most) {
      local = least + (size - least) % (page_bytes_ - 4);
      if (local > most) local = least;
    }
    const auto head = cell.Take(local);
    if (!head.has_value()) return std::nullopt;
    std::string payload(*head);
    if (local == size) return payload;
    const auto link = cell.Take(4);
    if (!link.has_value()) return std::nullopt;
    uint32_t next = Big(*link, 0, 4);
    for (size_t hops = 0; payload.size() < size && hops <= pages_.size(); ++hops) {
      const auto page = pages_.find(next);
      if (page == pages_.end()) return std::nullopt;
      next = Big(page->second, 0, 4);
      absl::StrAppend(&payload,
                      page->second.substr(4, std::min(page_bytes_ - 4, size - payload.size())));
    }
    if (payload.size() != size) return std::nullopt;
    return payload;
  }

  // A record (section 2.1): its header gives the type of each column, then come their bodies.
  static std::optional<std::vector<ScannedColumn>> Columns(absl::string_view payload) {
    Cursor start(payload);
    const auto header_bytes = start.Varint();
    if (!header_bytes.has_value() || *header_bytes > payload.size()) return std::nullopt;
    const size_t used = payload.size() - start.rest().size();
    if (*header_bytes < used) return std::nullopt;
    Cursor header(payload.substr(used, *header_bytes - used));
    Cursor body(payload.substr(*header_bytes));
    std::vector<ScannedColumn> columns;
    while (!header.rest().empty()) {
      const auto type = header.Varint();
      if (!type.has_value()) return std::nullopt;
      auto column = Column(*type, body);
      if (!column.has_value()) return std::nullopt;
      columns.push_back(*std::move(column));
    }
    return columns;
  }

  static std::optional<ScannedColumn> Column(uint64_t type, Cursor& body) {
    static constexpr size_t kIntegerBytes[] = {0, 1, 2, 3, 4, 6, 8};
    ScannedColumn column;
    if (type == 0) return column;
    if (type <= 6) {
      const auto bytes = body.Take(kIntegerBytes[type]);
      if (!bytes.has_value()) return std::nullopt;
      column.type = ScannedColumn::Type::kInteger;
      uint64_t value = static_cast<uint8_t>((*bytes)[0]) >= 0x80 ? UINT64_MAX : 0;
      for (const char c : *bytes) value = value << 8 | static_cast<uint8_t>(c);
      column.integer = static_cast<int64_t>(value);
      return column;
    }
    if (type == 7) {
      column.type = ScannedColumn::Type::kReal;
      return body.Take(8).has_value() ? std::make_optional(column) : std::nullopt;
    }
    if (type == 8 || type == 9) {
      column.type = ScannedColumn::Type::kInteger;
      column.integer = static_cast<int64_t>(type - 8);
      return column;
    }
    if (type < 12) return std::nullopt;
    const auto bytes = body.Take((type - 12) / 2);
    if (!bytes.has_value()) return std::nullopt;
    column.type = type % 2 == 0 ? ScannedColumn::Type::kBlob : ScannedColumn::Type::kText;
    column.bytes = std::string(*bytes);
    return column;
  }

  size_t page_bytes_ = kUsualPageBytes;
  std::map<uint32_t, absl::string_view> pages_;
};

}  // namespace

void ScanRows(
    absl::string_view file, absl::string_view wal,
    absl::FunctionRef<void(int64_t rowid, absl::Span<const ScannedColumn> columns)> visit) {
  Scanner(file, wal).Visit(visit);
}

}  // namespace rundlet::client

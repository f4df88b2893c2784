#include "client/store/log_check.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdint>
#include <string>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

// The formats are of https://www.sqlite.org/fileformat2.html#walformat (section 4) and
// https://www.sqlite.org/walformat.html (section 2, the index).
constexpr size_t kHeaderBytes = 32;
constexpr size_t kHeaderSummed = 24;  // of them, what the checksum behind is of
constexpr size_t kFrameHeaderBytes = 24;
constexpr size_t kFrameHeaderSummed = 8;
constexpr uint32_t kMagic = 0x377f0682;  // one more: checksums over big-endian words
constexpr int kIndexRegionBytes = 32768;
constexpr size_t kIndexFrames = 16;  // where the index says how many frames count

uint32_t Big(absl::string_view bytes, size_t at) {
  uint32_t value = 0;
  for (size_t i = 0; i < 4; ++i) value = value << 8 | static_cast<uint8_t>(bytes[at + i]);
  return value;
}

class Checksum {
 public:
  explicit Checksum(bool big_endian) : big_endian_(big_endian) {}
  void Add(absl::string_view bytes) {
    for (size_t at = 0; at + 8 <= bytes.size(); at += 8) {
      first_ += Word(bytes, at) + second_;
      second_ += Word(bytes, at + 4) + first_;
    }
  }
  bool Is(absl::string_view bytes, size_t at) const {
    return first_ == Big(bytes, at) && second_ == Big(bytes, at + 4);
  }

 private:
  uint32_t Word(absl::string_view bytes, size_t at) const {
    const uint32_t big = Big(bytes, at);
    return big_endian_ ? big : __builtin_bswap32(big);
  }

  const bool big_endian_;
  uint32_t first_ = 0;
  uint32_t second_ = 0;
};

Checksum SumOfHeader(absl::string_view header) {
  Checksum sum((Big(header, 0) & 1) != 0);
  sum.Add(header.substr(0, kHeaderSummed));
  return sum;
}

// The heads of the frames of a log, and, where they are wanted, the frames.
class Log {
 public:
  explicit Log(const std::string& path) : file_(open(path.c_str(), O_RDONLY | O_CLOEXEC)) {
    header_ = Read(0, kHeaderBytes);
    if (header_.size() == kHeaderBytes) frame_bytes_ = kFrameHeaderBytes + Big(header_, 8);
  }

  // Nothing was written to it yet, or it was cut to nothing.
  bool is_empty() { return Read(kHeaderBytes, kFrameHeaderBytes).size() < kFrameHeaderBytes; }
  bool has_whole_header() const { return IsWholeLogHeader(header_); }

  // Whether transactions of this round of the log ended behind its first `frames`. One end alone
  // may stand there and be nobody's: of a transaction that a power cut left half on the disk, whose
  // pages come there in any order. Each is flushed before the next begins, so where there are two,
  // the first was done.
  bool HasEndsBehind(uint64_t frames) {
    int ends = 0;
    for (uint64_t number = frames; ends < 2; ++number) {
      const std::string head = Read(At(number), kFrameHeaderBytes);
      if (head.size() < kFrameHeaderBytes) return false;
      if (head.compare(8, 8, header_, 16, 8) == 0 && Big(head, 4) != 0) ++ends;
    }
    return true;
  }

  // How many frames from the first on are whole.
  uint64_t WholeFrames() {
    Checksum sum = SumOfHeader(header_);
    for (uint64_t number = 0;; ++number) {
      const std::string frame = Read(At(number), frame_bytes_);
      if (frame.size() < frame_bytes_ || frame.compare(8, 8, header_, 16, 8) != 0) return number;
      sum.Add(absl::string_view(frame).substr(0, kFrameHeaderSummed));
      sum.Add(absl::string_view(frame).substr(kFrameHeaderBytes));
      if (!sum.Is(frame, 16)) return number;
    }
  }

 private:
  uint64_t At(uint64_t number) const { return kHeaderBytes + number * frame_bytes_; }
  std::string Read(uint64_t at, size_t size) {
    std::string bytes(size, '\0');
    const ssize_t got = pread(file_.get(), bytes.data(), size, static_cast<off_t>(at));
    bytes.resize(static_cast<size_t>(std::max<ssize_t>(got, 0)));
    return bytes;
  }

  Fd file_;
  std::string header_;
  size_t frame_bytes_ = kFrameHeaderBytes;
};

// How many frames SQLite reads, by the index that all who have the database open share. It is asked
// for by way of SQLite, and its file never opened here: closing that would take away the locks that
// this process has on it, and let the next one that comes take the book for nobody's.
uint64_t FramesInUse(const Db& db) {
  sqlite3_file* file = nullptr;
  sqlite3_file_control(db.handle(), "main", SQLITE_FCNTL_FILE_POINTER, &file);
  if (file == nullptr || file->pMethods == nullptr || file->pMethods->iVersion < 2) return 0;
  volatile void* index = nullptr;
  if (file->pMethods->xShmMap(file, 0, kIndexRegionBytes, 0, &index) != SQLITE_OK ||
      index == nullptr)
    return 0;
  return *reinterpret_cast<const volatile uint32_t*>(static_cast<volatile char*>(index) +
                                                     kIndexFrames);
}

absl::Status Damaged(const Db& db) {
  return absl::DataLossError(
      absl::StrCat(db.path(),
                   "-wal is damaged, and entries stand behind the damage; what is "
                   "whole in it can be saved with: rundlet repair"));
}

}  // namespace

bool IsWholeLogHeader(absl::string_view header) {
  return header.size() >= kHeaderBytes && (Big(header, 0) & ~1U) == kMagic &&
         SumOfHeader(header).Is(header, kHeaderSummed);
}

absl::Status CheckLog(Db& db) {
  {
    Log log(db.path() + "-wal");
    if (log.is_empty()) return absl::OkStatus();
    if (log.has_whole_header() && !log.HasEndsBehind(FramesInUse(db))) return absl::OkStatus();
  }
  // Somebody may be writing at this moment. Nobody is while we hold the right to; then the frames
  // themselves are looked at.
  const auto alone = Transaction::Begin(db);
  if (!alone.ok()) return alone.status();
  Log log(db.path() + "-wal");
  if (log.is_empty()) return absl::OkStatus();
  if (!log.has_whole_header() || log.HasEndsBehind(log.WholeFrames())) return Damaged(db);
  return absl::OkStatus();
}

}  // namespace rundlet::client

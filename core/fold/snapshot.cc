#include "core/fold/snapshot.h"

#include <algorithm>
#include <cstring>
#include <tuple>

#include "absl/strings/str_cat.h"
#include "core/fold/snapshot_format.h"

namespace rundlet {
namespace {

// Plain values and byte strings one after the other: the heads.
class HeadWriter {
 public:
  template <typename T>
  void Put(const T& value) {
    static_assert(std::is_trivially_copyable_v<T>);
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof(T));
  }
  template <typename T>
  void PutAll(absl::Span<const T> values) {
    Put<uint64_t>(values.size());
    bytes_.append(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(T));
  }
  void PutBytes(absl::string_view bytes) {
    PutAll(absl::Span<const char>(bytes.data(), bytes.size()));
  }
  const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

class HeadReader {
 public:
  explicit HeadReader(absl::string_view bytes) : rest_(bytes) {}

  template <typename T>
  T Get() {
    T value{};
    if (rest_.size() < sizeof(T)) {
      failed_ = true;
      return value;
    }
    std::memcpy(&value, rest_.data(), sizeof(T));
    rest_.remove_prefix(sizeof(T));
    return value;
  }
  template <typename T>
  std::vector<T> GetAll() {
    const auto count = Get<uint64_t>();
    if (failed_ || count > rest_.size() / sizeof(T)) {
      failed_ = true;
      return {};
    }
    std::vector<T> values(count);
    if (count > 0) std::memcpy(values.data(), rest_.data(), count * sizeof(T));
    rest_.remove_prefix(count * sizeof(T));
    return values;
  }
  std::string GetBytes() {
    const std::vector<char> bytes = GetAll<char>();
    return std::string(bytes.begin(), bytes.end());
  }
  bool failed() const { return failed_; }

 private:
  absl::string_view rest_;
  bool failed_ = false;
};

Hash HashOfHeader(SnapshotHeader header) {
  header.header_hash = {};
  Sha256 sha;
  sha.Update(absl::string_view(reinterpret_cast<const char*>(&header), sizeof(header)));
  return sha.Finish();
}

template <typename T>
absl::string_view AsBytes(absl::Span<const T> span) {
  return absl::string_view(reinterpret_cast<const char*>(span.data()), span.size() * sizeof(T));
}

absl::Status Damaged(absl::string_view what) {
  return absl::DataLossError(
      absl::StrCat("the snapshot is damaged (", what, "); the journal will be folded again"));
}

}  // namespace

// The parts of a fold that a snapshot must know; the one place where all of them stand together.
class SnapshotParts {
 public:
  template <typename FoldType, typename Visit>
  static void EachLog(FoldType& fold, Visit visit) {
    visit(fold.sequence_.rows_);
    visit(fold.sequence_.lines_);
    visit(fold.sequence_.order_);
    visit(fold.marks_);
    visit(fold.state_.movements_);
    visit(fold.state_.parcels_);
    visit(fold.state_.shares_);
    visit(fold.state_.facts_);
    visit(fold.state_.held_);
    visit(fold.state_.old_holdings_);
    visit(fold.state_.old_balances_);
    visit(fold.state_.old_tolerances_);
  }

  static void WriteHeads(const Fold& fold, absl::string_view stamp, HeadWriter& out) {
    out.PutBytes(stamp);
    out.PutAll(fold.interner_.ids());
    out.PutAll(fold.commodities_.infos());
    out.PutAll(absl::MakeConstSpan(fold.state_.holdings_));
    out.PutAll(absl::MakeConstSpan(fold.state_.balances_));
    out.Put(fold.state_.tolerance_);
    out.PutAll(absl::MakeConstSpan(fold.state_.last_of_));
    out.PutAll(absl::MakeConstSpan(fold.state_.last_at_));
    out.Put<uint64_t>(fold.sequence_.voided_.size());
    for (const auto& [target, by] : fold.sequence_.voided_) {
      out.Put(target);
      out.Put(by);
    }
    out.Put<uint64_t>(fold.sequence_.amendments_.size());
    for (const auto& [place, rows] : fold.sequence_.amendments_) {
      out.Put(place.device);
      out.Put(place.seq);
      out.PutAll(absl::MakeConstSpan(rows.data(), rows.size()));
    }
    out.Put<uint64_t>(fold.directory_.sayings_.size());
    for (const auto& [subject, sayings] : fold.directory_.sayings_) {
      out.Put(subject);
      out.Put<uint64_t>(sayings.size());
      for (const Directory::Saying& saying : sayings) {
        out.Put(saying.row);
        out.PutBytes(saying.entry.SerializeAsString());
      }
    }
    out.Put<uint64_t>(fold.records_.kept_.size());
    std::vector<RowId> rows;
    for (const auto& [row, entry] : fold.records_.kept_) rows.push_back(row);
    std::sort(rows.begin(), rows.end());
    for (const RowId row : rows) {
      out.Put(row);
      out.PutBytes(fold.records_.Find(row)->SerializeAsString());
    }
  }

  static absl::Status ReadHeads(HeadReader& in, Fold& fold, std::string& stamp) {
    stamp = in.GetBytes();
    for (const Uuid& id : in.GetAll<Uuid>()) fold.interner_.Intern(id);
    for (const CommodityInfo& info : in.GetAll<CommodityInfo>()) fold.commodities_.Intern(info);
    fold.state_.holdings_ = in.GetAll<Holding>();
    fold.state_.balances_ = in.GetAll<Balance>();
    for (size_t i = 0; i < fold.state_.balances_.size(); ++i) {
      const Balance& balance = fold.state_.balances_[i];
      fold.state_.balance_index_[{balance.place, balance.commodity}] = static_cast<uint32_t>(i);
    }
    fold.state_.tolerance_ = in.Get<Tolerance>();
    fold.state_.last_of_ = in.GetAll<uint32_t>();
    fold.state_.last_at_ = in.GetAll<ParcelId>();
    for (auto left = in.Get<uint64_t>(); left > 0 && !in.failed(); --left) {
      const Uuid target = in.Get<Uuid>();
      fold.sequence_.voided_[target] = in.Get<RowId>();
    }
    for (auto left = in.Get<uint64_t>(); left > 0 && !in.failed(); --left) {
      Sequence::PlaceKey place{};
      place.device = in.Get<Handle>();
      place.seq = in.Get<uint64_t>();
      const std::vector<RowId> rows = in.GetAll<RowId>();
      fold.sequence_.amendments_[place].assign(rows.begin(), rows.end());
    }
    return ReadMessages(in, fold);
  }

  static absl::Status ReadMessages(HeadReader& in, Fold& fold) {
    for (auto left = in.Get<uint64_t>(); left > 0 && !in.failed(); --left) {
      const Handle subject = in.Get<Handle>();
      std::vector<Directory::Saying>& sayings = fold.directory_.sayings_[subject];
      for (auto more = in.Get<uint64_t>(); more > 0 && !in.failed(); --more) {
        Directory::Saying saying{.row = in.Get<RowId>(), .entry = {}};
        if (!saying.entry.ParseFromString(in.GetBytes())) return Damaged("directory");
        if (saying.row >= fold.sequence_.rows()) return Damaged("directory");
        fold.subjects_[saying.row] = subject;
        sayings.push_back(std::move(saying));
      }
    }
    for (auto left = in.Get<uint64_t>(); left > 0 && !in.failed(); --left) {
      const RowId row = in.Get<RowId>();
      if (row >= fold.sequence_.rows() || !fold.records_.kept_[row].ParseFromString(in.GetBytes()))
        return Damaged("records");
    }
    if (in.failed()) return Damaged("heads");
    for (const auto& [subject, sayings] : fold.directory_.sayings_)
      fold.directory_.Update(subject, fold.sequence_);
    fold.settled_handles_ = fold.interner_.size();
    return absl::OkStatus();
  }
};

void Snapshot::Save(const Fold& fold, absl::string_view stamp,
                    absl::FunctionRef<void(absl::string_view)> write) {
  HeadWriter heads;
  SnapshotParts::WriteHeads(fold, stamp, heads);

  SnapshotHeader header;
  size_t at = AlignSection(sizeof(SnapshotHeader));
  size_t index = 0;
  Sha256 sha;
  SnapshotParts::EachLog(fold, [&](const auto& log) {
    const size_t bytes =
        AsBytes(log.base()).size() + AsBytes(absl::MakeConstSpan(log.tail())).size();
    header.logs[index++] = {at, bytes};
    at = AlignSection(at + bytes);
    sha.Update(AsBytes(log.base()));
    sha.Update(AsBytes(log.tail()));
  });
  header.logs_hash = sha.Finish();
  header.heads = {at, heads.bytes().size()};
  header.total_bytes = at + heads.bytes().size();
  sha.Update(heads.bytes());
  header.heads_hash = sha.Finish();
  header.header_hash = HashOfHeader(header);

  size_t written = 0;
  const auto put = [&](absl::string_view bytes) {
    write(bytes);
    written += bytes.size();
  };
  const auto align = [&] {
    static constexpr char kZeroes[kSectionAlignment] = {};
    put(absl::string_view(kZeroes, AlignSection(written) - written));
  };
  put(absl::string_view(reinterpret_cast<const char*>(&header), sizeof(header)));
  align();
  SnapshotParts::EachLog(fold, [&](const auto& log) {
    put(AsBytes(log.base()));
    put(AsBytes(log.tail()));
    align();
  });
  put(heads.bytes());
}

absl::StatusOr<Snapshot::Opened> Snapshot::Open(absl::Span<char> bytes, Verify verify) {
  SnapshotHeader header;
  if (bytes.size() < sizeof(header)) return Damaged("too short");
  std::memcpy(&header, bytes.data(), sizeof(header));
  if (header.magic != SnapshotHeader::kMagic || header.version != SnapshotHeader::kVersion ||
      header.layout != SnapshotHeader::Layout()) {
    return absl::FailedPreconditionError(
        "the snapshot is of another build; the journal will be folded again");
  }
  if (HashOfHeader(header) != header.header_hash) return Damaged("header");
  if (header.total_bytes != bytes.size()) return Damaged("length");

  Sha256 sha;
  const absl::string_view heads(bytes.data() + header.heads.at, header.heads.bytes);
  sha.Update(heads);
  if (sha.Finish() != header.heads_hash) return Damaged("heads");
  if (verify == Verify::kAll) {
    for (const SnapshotHeader::Section& log : header.logs)
      sha.Update({bytes.data() + log.at, log.bytes});
    if (sha.Finish() != header.logs_hash) return Damaged("logs");
  }

  Opened opened{.fold = std::make_unique<Fold>(), .stamp = {}};
  size_t index = 0;
  SnapshotParts::EachLog(*opened.fold, [&]<typename T>(Log<T>& log) {
    const SnapshotHeader::Section& section = header.logs[index++];
    log.Rest(
        absl::Span<T>(reinterpret_cast<T*>(bytes.data() + section.at), section.bytes / sizeof(T)));
  });
  HeadReader in(heads);
  if (absl::Status status = SnapshotParts::ReadHeads(in, *opened.fold, opened.stamp); !status.ok())
    return status;
  return opened;
}

}  // namespace rundlet

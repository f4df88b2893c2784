#include "client/cellar/snapshot_file.h"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "client/base/file.h"
#include "core/fold/snapshot.h"

namespace rundlet::client {

absl::StatusOr<Mapping> Mapping::Open(const std::string& path) {
  const Fd fd(open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!fd.ok()) {
    if (errno == ENOENT) return absl::NotFoundError(absl::StrCat("there is no ", path));
    return ErrnoStatus("open", path, errno);
  }
  struct stat info = {};
  if (fstat(fd.get(), &info) != 0) return ErrnoStatus("read", path, errno);
  if (info.st_size == 0) return absl::DataLossError(absl::StrCat(path, " is empty"));
  const auto size = static_cast<size_t>(info.st_size);
  void* at = mmap(nullptr, size, PROT_READ | PROT_WRITE, MAP_PRIVATE, fd.get(), 0);
  if (at == MAP_FAILED) return ErrnoStatus("read", path, errno);
  return Mapping(absl::Span<char>(static_cast<char*>(at), size));
}

Mapping::~Mapping() {
  if (!bytes_.empty()) munmap(bytes_.data(), bytes_.size());
}

absl::StatusOr<LoadedSnapshot> LoadSnapshot(const std::string& path, Snapshot::Verify verify) {
  auto mapping = Mapping::Open(path);
  if (!mapping.ok()) return mapping.status();
  auto opened = Snapshot::Open(mapping->bytes(), verify);
  if (!opened.ok()) return opened.status();
  SnapshotStamp stamp;
  const std::vector<absl::string_view> parts = absl::StrSplit(opened->stamp, ' ');
  if (parts.size() != 3 || !absl::SimpleAtoi(parts[0], &stamp.generation) ||
      !absl::SimpleAtoi(parts[1], &stamp.local_no) || parts[2].size() != 2 * sizeof(Hash)) {
    return absl::DataLossError("the snapshot does not say of what it is");
  }
  const std::string last_hash = absl::HexStringToBytes(parts[2]);
  std::copy(last_hash.begin(), last_hash.end(), stamp.last_hash.begin());
  return LoadedSnapshot{
      .mapping = *std::move(mapping), .fold = std::move(opened->fold), .stamp = stamp};
}

absl::Status SaveSnapshot(const Fold& fold, const SnapshotStamp& stamp, const std::string& path) {
  // A name of its own for each process: several may write at once, and the last to finish counts.
  const std::string draft = absl::StrCat(path, ".", getpid());
  const Fd fd(open(draft.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600));
  if (!fd.ok()) return ErrnoStatus("write", draft, errno);
  std::string buffer;
  absl::Status status;
  const auto flush = [&] {
    absl::string_view rest = buffer;
    while (status.ok() && !rest.empty()) {
      const ssize_t wrote = write(fd.get(), rest.data(), rest.size());
      if (wrote < 0 && errno != EINTR) status = ErrnoStatus("write", draft, errno);
      if (wrote > 0) rest.remove_prefix(static_cast<size_t>(wrote));
    }
    buffer.clear();
  };
  Snapshot::Save(fold,
                 absl::StrCat(stamp.generation, " ", stamp.local_no, " ",
                              absl::BytesToHexString(HashBytes(stamp.last_hash))),
                 [&](absl::string_view piece) {
                   absl::StrAppend(&buffer, piece);
                   if (buffer.size() > (1 << 20)) flush();
                 });
  flush();
  // Most commands check only a part of it: after a power cut it must be whole or not be there.
  if (status.ok() && fdatasync(fd.get()) != 0) status = ErrnoStatus("write", draft, errno);
  if (status.ok() && rename(draft.c_str(), path.c_str()) != 0)
    status = ErrnoStatus("put in place", path, errno);
  if (!status.ok()) RemoveFile(draft).IgnoreError();
  return status;
}

}  // namespace rundlet::client

#include "client/base/new_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "absl/strings/str_cat.h"

namespace rundlet::client {
namespace {

constexpr size_t kKeptInMemory = 1 << 20;

std::string DirOf(const std::string& path) {
  const size_t slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

}  // namespace

absl::StatusOr<NewFile> NewFile::Create(const std::string& path) {
  std::string part = absl::StrCat(path, ".XXXXXX");
  Fd fd(mkstemp(part.data()));  // for its owner alone
  if (!fd.ok()) return ErrnoStatus("write beside", path, errno);
  return NewFile(path, std::move(part), std::move(fd));
}

NewFile::NewFile(NewFile&& other) noexcept
    : path_(std::move(other.path_)),
      part_(std::exchange(other.part_, "")),
      fd_(std::move(other.fd_)),
      pending_(std::move(other.pending_)) {}

NewFile::~NewFile() {
  if (!part_.empty()) unlink(part_.c_str());
}

absl::Status NewFile::Write(absl::string_view piece) {
  absl::StrAppend(&pending_, piece);
  return pending_.size() < kKeptInMemory ? absl::OkStatus() : Flush();
}

absl::Status NewFile::Flush() {
  absl::string_view rest = pending_;
  while (!rest.empty()) {
    const ssize_t written = write(fd_.get(), rest.data(), rest.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return ErrnoStatus("write", path_, errno);
    rest.remove_prefix(static_cast<size_t>(written));
  }
  pending_.clear();
  return absl::OkStatus();
}

absl::Status NewFile::Finish() {
  if (absl::Status status = Flush(); !status.ok()) return status;
  if (fsync(fd_.get()) != 0) return ErrnoStatus("write", path_, errno);
  if (rename(part_.c_str(), path_.c_str()) != 0) return ErrnoStatus("write", path_, errno);
  part_.clear();
  return SyncDir(DirOf(path_));
}

}  // namespace rundlet::client

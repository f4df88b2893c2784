#include "server/signing_key_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"

namespace rundlet::server {
namespace {

constexpr absl::string_view kLabel = "rundletd signing key ";

absl::Status Broken(const std::string& path) {
  return absl::DataLossError(absl::StrCat(
      path,
      " holds no signing key: put it back from a backup. Without it, move the file away; a "
      "new key is made, and every device will ask whether that is right"));
}

absl::StatusOr<evidence::SigningKey> Load(const std::string& path) {
  struct stat info {};
  if (stat(path.c_str(), &info) != 0)
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot look at ", path));
  if ((info.st_mode & 077) != 0)
    return absl::FailedPreconditionError(absl::StrCat(
        path, " can be read by others, and whoever has it signs as this server: chmod 600 ", path));
  std::ifstream file(path, std::ios::binary);
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  if (!file) return absl::PermissionDeniedError(absl::StrCat("cannot read ", path));
  absl::string_view rest = absl::StripAsciiWhitespace(text);
  std::string seed;
  if (!absl::ConsumePrefix(&rest, kLabel) || !absl::Base64Unescape(rest, &seed))
    return Broken(path);
  auto key = evidence::SigningKey::FromSeed(seed);
  return key.ok() ? std::move(key) : Broken(path);
}

// Whole or not at all: under a name of its own first, on disk before it gets the right one.
absl::Status Write(const std::string& path, absl::string_view text) {
  std::string draft = absl::StrCat(path, ".XXXXXX");
  const auto failed = [&](absl::string_view what) {
    return absl::ErrnoToStatus(errno, absl::StrCat("cannot ", what, " ", draft));
  };
  const int fd = mkstemp(draft.data());  // 0600
  if (fd < 0) return failed("make");
  absl::Status status;
  if (write(fd, text.data(), text.size()) != static_cast<ssize_t>(text.size()) || fsync(fd) != 0)
    status = failed("write");
  close(fd);
  // Two servers that start at once must not each have a key: who comes second takes the first's.
  if (status.ok() && link(draft.c_str(), path.c_str()) != 0 && errno != EEXIST)
    status = failed("put in place");
  unlink(draft.c_str());
  if (!status.ok()) return status;
  const int dir =
      open(std::filesystem::path(path).parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (dir < 0 || fsync(dir) != 0) status = failed("flush the directory of");
  if (dir >= 0) close(dir);
  return status;
}

}  // namespace

absl::StatusOr<evidence::SigningKey> LoadOrMakeSigningKey(
    const std::string& path, const std::function<void(absl::Span<uint8_t>)>& random) {
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    std::filesystem::create_directories(std::filesystem::path(path).parent_path(), ignored);
    std::array<uint8_t, evidence::SigningKey::kSeedSize> seed;
    random(absl::MakeSpan(seed));
    const absl::string_view bytes(reinterpret_cast<const char*>(seed.data()), seed.size());
    if (absl::Status status = Write(path, absl::StrCat(kLabel, absl::Base64Escape(bytes), "\n"));
        !status.ok())
      return status;
  }
  return Load(path);
}

}  // namespace rundlet::server

#include "client/store/device_key.h"

#include <sys/stat.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr absl::string_view kLabel = "rundlet device key ";

absl::StatusOr<evidence::SigningKey> ReadKeyFile(const std::string& path) {
  const auto text = ReadFile(path);
  if (!text.ok()) return text.status();
  struct stat info {};
  if (stat(path.c_str(), &info) == 0 && (info.st_mode & 077) != 0) {
    return absl::FailedPreconditionError(
        absl::StrCat(path, " can be read by others, and whoever has it signs in your name: chmod ",
                     "600 ", path, ", and if somebody may have read it: rundlet device key --new"));
  }
  absl::string_view rest = absl::StripAsciiWhitespace(*text);
  std::string seed;
  const bool is_one = absl::ConsumePrefix(&rest, kLabel) && absl::Base64Unescape(rest, &seed);
  auto key = evidence::SigningKey::FromSeed(is_one ? seed : "");
  if (key.ok()) return key;
  return absl::FailedPreconditionError(absl::StrCat(
      path, " holds no key: put it back from a backup, or ask a cellar master for an invitation ",
      "and join again with it; what waits here is kept"));
}

absl::StatusOr<evidence::SigningKey> MakeKeyFile(const std::string& path, const Environment& env) {
  std::array<uint8_t, evidence::SigningKey::kSeedSize> seed;
  env.fill_random(absl::MakeSpan(seed));
  const absl::string_view bytes(reinterpret_cast<const char*>(seed.data()), seed.size());
  auto key = evidence::SigningKey::FromSeed(bytes);
  if (!key.ok()) return key;
  if (absl::Status status =
          WritePrivateFile(path, absl::StrCat(kLabel, absl::Base64Escape(bytes), "\n"));
      !status.ok())
    return status;
  return key;
}

}  // namespace

absl::StatusOr<evidence::SigningKey> ReadDeviceKey(const StoreHome& home) {
  return ReadKeyFile(home.device_key());
}

absl::StatusOr<evidence::SigningKey> MakeDeviceKey(const StoreHome& home, const Environment& env) {
  if (FileExists(home.device_key()))
    return absl::AlreadyExistsError(absl::StrCat(home.device_key(), " is there already"));
  return MakeKeyFile(home.device_key(), env);
}

absl::StatusOr<evidence::SigningKey> MakeNextDeviceKey(const StoreHome& home,
                                                       const Environment& env) {
  return MakeKeyFile(home.next_device_key(), env);
}

absl::Status AdoptDeviceKey(const StoreHome& home, absl::string_view public_key) {
  const auto next = ReadKeyFile(home.next_device_key());
  if (absl::IsNotFound(next.status())) return absl::OkStatus();
  if (!next.ok()) return next.status();
  if (next->public_key().bytes() != public_key) return absl::OkStatus();
  // The old one aside first, then the new one in its place: a kill between leaves both.
  const auto old = ReadFile(home.device_key());
  if (old.ok()) {
    if (absl::Status s = WritePrivateFile(home.old_device_key(), *old); !s.ok()) return s;
  }
  if (rename(home.next_device_key().c_str(), home.device_key().c_str()) != 0)
    return ErrnoStatus("move", home.next_device_key(), errno);
  return SyncDir(home.dir());
}

absl::StatusOr<evidence::SigningKey> DeviceKeyFor(const StoreHome& home,
                                                  absl::string_view public_key) {
  for (const std::string& path :
       {home.device_key(), home.next_device_key(), home.old_device_key()}) {
    auto key = ReadKeyFile(path);
    if (key.ok() && key->public_key().bytes() == public_key) return key;
  }
  return ReadDeviceKey(home);
}

}  // namespace rundlet::client

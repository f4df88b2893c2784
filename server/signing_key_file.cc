#include "server/signing_key_file.h"

#include <array>
#include <filesystem>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/strip.h"
#include "server/private_file.h"

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
  const auto text = ReadPrivate(path, "signs as this server");
  if (!text.ok()) return text.status();
  absl::string_view rest = absl::StripAsciiWhitespace(*text);
  std::string seed;
  if (!absl::ConsumePrefix(&rest, kLabel) || !absl::Base64Unescape(rest, &seed))
    return Broken(path);
  auto key = evidence::SigningKey::FromSeed(seed);
  return key.ok() ? std::move(key) : Broken(path);
}

}  // namespace

absl::StatusOr<evidence::SigningKey> LoadOrMakeSigningKey(
    const std::string& path, const std::function<void(absl::Span<uint8_t>)>& random) {
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    std::array<uint8_t, evidence::SigningKey::kSeedSize> seed;
    random(absl::MakeSpan(seed));
    const absl::string_view bytes(reinterpret_cast<const char*>(seed.data()), seed.size());
    if (absl::Status status =
            WriteOnce(path, absl::StrCat(kLabel, absl::Base64Escape(bytes), "\n"));
        !status.ok())
      return status;
  }
  return Load(path);
}

}  // namespace rundlet::server

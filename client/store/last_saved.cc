#include "client/store/last_saved.h"

#include <fcntl.h>
#include <unistd.h>

#include <string>

#include "absl/strings/numbers.h"
#include "absl/strings/str_format.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr size_t kIdChars = 36;

std::string PathIn(const StoreHome& home) { return home.dir() + "/last-saved"; }

}  // namespace

void WriteLastSaved(const StoreHome& home, const Uuid& device_id, uint64_t device_seq) {
  // Always of one length and in one write, so that a reader finds the old one or the new one.
  const std::string text = absl::StrFormat("%s %020u\n", device_id.ToString(), device_seq);
  const Fd fd(open(PathIn(home).c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600));
  if (fd.ok() && pwrite(fd.get(), text.data(), text.size(), 0) < 0) return;
}

uint64_t ReadLastSaved(const StoreHome& home, const Uuid& device_id) {
  const auto text = ReadFile(PathIn(home));
  if (!text.ok() || text->size() <= kIdChars || text->substr(0, kIdChars) != device_id.ToString())
    return 0;
  uint64_t device_seq = 0;
  return absl::SimpleAtoi(absl::string_view(*text).substr(kIdChars), &device_seq) ? device_seq : 0;
}

absl::Status ForgetLastSaved(const StoreHome& home) { return RemoveFile(PathIn(home)); }

}  // namespace rundlet::client

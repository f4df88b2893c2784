#include "core/identity/qr.h"

#include <qrencode.h>

#include <memory>

namespace rundlet {
namespace {

constexpr size_t kQuiet = 4;  // fields of quiet zone on each side
constexpr int kAnyVersion = 0;

struct FreeCode {
  void operator()(QRcode* code) const { QRcode_free(code); }
};

}  // namespace

absl::StatusOr<std::vector<std::vector<bool>>> MakeQr(absl::string_view text) {
  // The least correction: a screen has no scratches, and fewer fields are easier to read.
  const std::unique_ptr<QRcode, FreeCode> code(QRcode_encodeData(
      static_cast<int>(text.size()), reinterpret_cast<const unsigned char*>(text.data()),
      kAnyVersion, QR_ECLEVEL_L));
  if (code == nullptr)
    return absl::InvalidArgumentError("this text makes no QR code: it is empty or too long");
  const size_t width = static_cast<size_t>(code->width);
  std::vector<std::vector<bool>> fields(width + 2 * kQuiet,
                                        std::vector<bool>(width + 2 * kQuiet, false));
  for (size_t y = 0; y < width; ++y) {
    for (size_t x = 0; x < width; ++x)
      fields[y + kQuiet][x + kQuiet] = (code->data[y * width + x] & 1) != 0;
  }
  return fields;
}

std::string DrawQr(const std::vector<std::vector<bool>>& fields, bool light_terminal) {
  constexpr const char* kHalves[] = {" ", "\u2584", "\u2580",
                                     "\u2588"};  // none, lower, upper, full
  const auto drawn = [&](size_t y, size_t x) {
    const bool dark = y < fields.size() && fields[y][x];
    return dark == light_terminal;
  };
  std::string text;
  for (size_t y = 0; y < fields.size(); y += 2) {
    for (size_t x = 0; x < fields[y].size(); ++x)
      text += kHalves[2 * drawn(y, x) + static_cast<int>(drawn(y + 1, x))];
    text += '\n';
  }
  return text;
}

}  // namespace rundlet

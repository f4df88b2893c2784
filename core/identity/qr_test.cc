// Goal: what a phone's camera reads from the drawn code is the invitation, byte for byte.
// Method: the drawing, character by character, is made an image again and read by ZBar, a reader
// that is not ours. https://github.com/mchehab/zbar
#include "core/identity/qr.h"

#include <zbar.h>

#include "gmock/gmock.h"
#include "gtest/gtest.h"

namespace rundlet {
namespace {

constexpr unsigned kPixels = 6;  // a field's side

// The drawing as fields, true where the terminal shows light.
std::vector<std::vector<bool>> Shown(const std::string& drawing) {
  std::vector<std::vector<bool>> rows;
  for (size_t i = 0; i < drawing.size();) {
    rows.resize(rows.size() + 2);
    for (; drawing[i] != '\n';) {
      const bool blank = drawing[i] == ' ';
      const std::string half = blank ? " " : drawing.substr(i, 3);
      rows[rows.size() - 2].push_back(half == "\u2580" || half == "\u2588");
      rows[rows.size() - 1].push_back(half == "\u2584" || half == "\u2588");
      i += blank ? 1 : 3;
    }
    ++i;
  }
  return rows;
}

std::string ReadByCamera(const std::vector<std::vector<bool>>& light) {
  const unsigned width = static_cast<unsigned>(light[0].size()) * kPixels;
  const unsigned height = static_cast<unsigned>(light.size()) * kPixels;
  std::string pixels;
  for (unsigned y = 0; y < height; ++y) {
    for (unsigned x = 0; x < width; ++x) pixels += light[y / kPixels][x / kPixels] ? '\xff' : '\0';
  }
  zbar::Image image(width, height, "Y800", pixels.data(), pixels.size());
  zbar::ImageScanner scanner;
  scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
  scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
  scanner.scan(image);
  std::string read;
  for (auto symbol = image.symbol_begin(); symbol != image.symbol_end(); ++symbol)
    read += symbol->get_data();
  return read;
}

TEST(QrTest, ACameraReadsWhatIsDrawn) {
  for (const size_t length : {size_t{1}, size_t{40}, size_t{180}, size_t{250}}) {
    std::string text = "rdi1.";
    while (text.size() < length + 5) text += "aZ0-_q"[text.size() % 6];
    const auto fields = MakeQr(text);
    ASSERT_TRUE(fields.ok()) << fields.status();
    EXPECT_EQ(ReadByCamera(Shown(DrawQr(*fields))), text);
  }
}

TEST(QrTest, ALightTerminalShowsTheSameCode) {
  const auto fields = MakeQr("rdi1.thistledown");
  ASSERT_TRUE(fields.ok());
  auto shown = Shown(DrawQr(*fields, /*light_terminal=*/true));
  for (auto& row : shown) row.flip();
  EXPECT_EQ(ReadByCamera(shown), "rdi1.thistledown");
}

TEST(QrTest, WhatMakesNoCodeIsRefused) {
  EXPECT_TRUE(absl::IsInvalidArgument(MakeQr("").status()));
  EXPECT_TRUE(absl::IsInvalidArgument(MakeQr(std::string(5000, 'x')).status()));
}

}  // namespace
}  // namespace rundlet

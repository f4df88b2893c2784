#include "client/cli/table.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"

namespace rundlet::client {

size_t WidthOf(const std::string& text) {
  size_t width = 0;
  for (const char c : text) width += (static_cast<unsigned char>(c) & 0xc0) != 0x80 ? 1 : 0;
  return width;
}

std::string Table::Print() const {
  struct Column {
    size_t index;
    size_t width;
    bool right;
    std::string heading;
  };
  std::vector<Column> columns;
  for (size_t i = 0; i < headings_.size(); ++i) {
    const bool right = headings_[i].front() == '>';
    Column column{
        .index = i, .width = 0, .right = right, .heading = headings_[i].substr(right ? 1 : 0)};
    for (const auto& row : rows_) column.width = std::max(column.width, WidthOf(row[i]));
    if (column.width == 0) continue;
    column.width = std::max(column.width, WidthOf(column.heading));
    columns.push_back(std::move(column));
  }
  std::string text;
  const auto print_line = [&](auto&& cell_of) {
    std::string line;
    for (const Column& column : columns) {
      const std::string cell = cell_of(column);
      const std::string padding(column.width - WidthOf(cell), ' ');
      if (!line.empty() || &column != &columns.front()) line += "  ";
      absl::StrAppend(&line, column.right ? padding : "", cell, column.right ? "" : padding);
    }
    absl::StripTrailingAsciiWhitespace(&line);
    absl::StrAppend(&text, line, "\n");
  };
  print_line([](const Column& column) { return column.heading; });
  for (const auto& row : rows_) {
    print_line([&row](const Column& column) { return row[column.index]; });
  }
  return text;
}

}  // namespace rundlet::client

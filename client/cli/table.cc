#include "client/cli/table.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/manual/page.h"

namespace rundlet::client {
namespace {

constexpr size_t kGap = 2;         // between columns
constexpr size_t kNarrowest = 12;  // a column of words is not narrowed further

}  // namespace

struct Table::Column {
  size_t index;
  size_t width;
  bool right;
  std::string heading;
};

namespace {

size_t WidthOfGrid(const auto& columns) {
  size_t width = 0;
  for (const auto& column : columns) width += column.width + kGap;
  return width == 0 ? 0 : width - kGap;
}

// Narrows the widest columns of words, one character at a time. False where it is not enough.
bool Narrow(auto& columns, size_t width) {
  for (size_t now = WidthOfGrid(columns); now > width; --now) {
    const auto widest =
        std::max_element(columns.begin(), columns.end(), [](const auto& a, const auto& b) {
          return (a.right ? 0 : a.width) < (b.right ? 0 : b.width);
        });
    if (widest->right || widest->width <= std::max(kNarrowest, WidthOf(widest->heading)))
      return false;
    --widest->width;
  }
  return true;
}

// The lines of a cell in its column. A word that is longer than the column is cut across lines.
std::vector<std::string> LinesOf(const std::string& cell, size_t width) {
  if (WidthOf(cell) <= width) return {cell};
  std::vector<std::string> lines;
  for (const absl::string_view line : absl::StrSplit(manual::Wrap(cell, width, 0), '\n')) {
    std::string left(line);
    while (WidthOf(left) > width) {
      size_t bytes = 0, characters = 0;
      while (bytes < left.size() && characters <= width) {
        if ((static_cast<unsigned char>(left[bytes]) & 0xc0) != 0x80 && characters++ == width)
          break;
        ++bytes;
      }
      lines.push_back(left.substr(0, bytes));
      left.erase(0, bytes);
    }
    lines.push_back(std::move(left));
  }
  return lines;
}

}  // namespace

size_t WidthOf(const std::string& text) {
  size_t width = 0;
  for (const char c : text) width += (static_cast<unsigned char>(c) & 0xc0) != 0x80 ? 1 : 0;
  return width;
}

std::vector<Table::Column> Table::Columns() const {
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
  return columns;
}

void Table::AddUnder(std::string text) {
  under_.resize(rows_.size());
  under_.back().push_back(std::move(text));
}

std::string Table::Under(size_t row, size_t width) const {
  std::string text;
  if (row >= under_.size()) return text;
  for (const std::string& line : under_[row])
    absl::StrAppend(&text, "    ", manual::Wrap(line, width <= 4 ? 0 : width - 4, 4), "\n");
  return text;
}

std::string Table::PrintGrid(const std::vector<Column>& columns, size_t width) const {
  std::string text;
  const auto print_row = [&](auto&& cell_of) {
    std::vector<std::vector<std::string>> cells;
    size_t height = 1;
    for (const Column& column : columns) {
      cells.push_back(LinesOf(cell_of(column), column.width));
      height = std::max(height, cells.back().size());
    }
    for (size_t n = 0; n < height; ++n) {
      std::string line;
      for (size_t i = 0; i < columns.size(); ++i) {
        const std::string cell = n < cells[i].size() ? cells[i][n] : "";
        const std::string padding(columns[i].width - WidthOf(cell), ' ');
        if (i > 0) line.append(kGap, ' ');
        absl::StrAppend(&line, columns[i].right ? padding : "", cell,
                        columns[i].right ? "" : padding);
      }
      absl::StripTrailingAsciiWhitespace(&line);
      absl::StrAppend(&text, line, "\n");
    }
  };
  print_row([](const Column& column) { return column.heading; });
  for (size_t row = 0; row < rows_.size(); ++row) {
    print_row([&](const Column& column) { return rows_[row][column.index]; });
    absl::StrAppend(&text, Under(row, width));
  }
  return text;
}

std::string Table::PrintParagraphs(const std::vector<Column>& columns, size_t width) const {
  size_t names = 0;
  for (const Column& column : columns) names = std::max(names, WidthOf(column.heading));
  const size_t indent = names + kGap;
  const size_t room = std::max(kNarrowest, width - std::min(width, indent));
  std::string text;
  for (size_t row = 0; row < rows_.size(); ++row) {
    if (row > 0) text += '\n';
    for (const Column& column : columns) {
      const std::string& cell = rows_[row][column.index];
      if (cell.empty()) continue;
      absl::StrAppend(&text, column.heading, std::string(indent - WidthOf(column.heading), ' '),
                      manual::Wrap(cell, room, indent), "\n");
    }
    absl::StrAppend(&text, Under(row, width));
  }
  return text;
}

std::string Table::Print(size_t width) const {
  std::vector<Column> columns = Columns();
  if (width > 0 && !Narrow(columns, width)) return PrintParagraphs(columns, width);
  return PrintGrid(columns, width);
}

}  // namespace rundlet::client

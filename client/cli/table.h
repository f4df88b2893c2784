#ifndef RUNDLET_CLIENT_CLI_TABLE_H_
#define RUNDLET_CLIENT_CLI_TABLE_H_

#include <string>
#include <vector>

namespace rundlet::client {

// Columns of plain words, two spaces apart, under a line of headings. A heading that begins with
// '>' has its column flush right. Columns that are empty in every row are left out.
//
// Where it would be wider than the terminal, the widest columns of words are narrowed, and what
// does not fit goes on in further lines. Where that is not enough, each row becomes a paragraph of
// its own, "Heading  value" line by line. Nothing is left out.
class Table {
 public:
  explicit Table(std::vector<std::string> headings) : headings_(std::move(headings)) {}

  void Add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }
  bool empty() const { return rows_.empty(); }
  // Lines that stand under the row that was added last.
  void AddUnder(std::string text);
  // `width`: of the terminal; 0: as wide as it gets.
  std::string Print(size_t width = 0) const;

 private:
  struct Column;
  std::vector<Column> Columns() const;
  std::string PrintGrid(const std::vector<Column>& columns, size_t width) const;
  std::string PrintParagraphs(const std::vector<Column>& columns, size_t width) const;
  std::string Under(size_t row, size_t width) const;

  std::vector<std::string> headings_;
  std::vector<std::vector<std::string>> rows_;
  std::vector<std::vector<std::string>> under_;  // by row; may be shorter
};

// The number of characters of UTF-8 text, as a terminal shows most of them.
size_t WidthOf(const std::string& text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_TABLE_H_

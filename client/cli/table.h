#ifndef RUNDLET_CLIENT_CLI_TABLE_H_
#define RUNDLET_CLIENT_CLI_TABLE_H_

#include <string>
#include <vector>

namespace rundlet::client {

// Columns of plain words, two spaces apart, under a line of headings. A heading that begins with
// '>' has its column flush right. Columns that are empty in every row are left out.
class Table {
 public:
  explicit Table(std::vector<std::string> headings) : headings_(std::move(headings)) {}

  void Add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }
  bool empty() const { return rows_.empty(); }
  std::string Print() const;

 private:
  std::vector<std::string> headings_;
  std::vector<std::vector<std::string>> rows_;
};

// The number of characters of UTF-8 text, as a terminal shows most of them.
size_t WidthOf(const std::string& text);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_TABLE_H_

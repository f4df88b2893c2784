#ifndef RUNDLET_CORE_DOSSIER_HTML_H_
#define RUNDLET_CORE_DOSSIER_HTML_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::dossier {

// Text for an HTML page: nothing in it is markup, in an element or in a quoted attribute. What is
// no character of a text - controls, and those that turn the direction of what follows - is left
// out.
std::string EscapeHtml(absl::string_view text);

// Writes a page of headings, paragraphs and tables. All texts are escaped.
class HtmlWriter {
 public:
  explicit HtmlWriter(absl::string_view title);

  void Heading(absl::string_view text);
  void Paragraph(absl::string_view text);
  void List(const std::vector<std::string>& items);
  // In a typeface that tells letters and digits apart: keys, hashes.
  void Code(absl::string_view text);
  void BeginTable(const std::vector<std::string>& headings);
  void Row(const std::vector<std::string>& cells);
  void EndTable();
  // Already safe to stand in a page; not printed on paper. `begin` opens its element and `end`
  // closes it.
  void Data(absl::string_view summary, absl::string_view begin, absl::string_view data,
            absl::string_view end);

  std::string Finish() &&;

 private:
  std::string page_;
};

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_HTML_H_

#include "core/dossier/html.h"

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "core/base/harmless.h"

namespace rundlet::dossier {
namespace {

// Nothing is fetched and nothing runs, whatever stands in the page.
constexpr char kHead[] = R"html(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>
body { font: 11pt/1.45 Georgia, serif; max-width: 50rem; margin: 2rem auto; padding: 0 1rem; color: #222; }
h1 { font-size: 1.7rem; margin: 0 0 .4rem; }
h2 { font-size: 1.15rem; margin: 1.8rem 0 .4rem; border-bottom: 1px solid #999; break-after: avoid; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; }
th, td { text-align: left; vertical-align: top; padding: .2rem .6rem .2rem 0; border-bottom: 1px solid #ddd;
  unicode-bidi: isolate; overflow-wrap: anywhere; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
code, pre { font: .8rem/1.4 monospace; overflow-wrap: anywhere; white-space: pre-wrap; }
p, li, h1, code { unicode-bidi: isolate; }
@media print { body { margin: 0; max-width: none; } details { display: none; } }
</style>
)html";

}  // namespace

std::string EscapeHtml(absl::string_view text) {
  return absl::StrReplaceAll(
      Harmless(text, false),
      {{"&", "&amp;"}, {"<", "&lt;"}, {">", "&gt;"}, {"\"", "&quot;"}, {"'", "&#39;"}});
}

HtmlWriter::HtmlWriter(absl::string_view title)
    : page_(absl::StrCat(kHead, "<title>", EscapeHtml(title), "</title>\n</head>\n<body>\n<h1>",
                         EscapeHtml(title), "</h1>\n")) {}

void HtmlWriter::Heading(absl::string_view text) {
  absl::StrAppend(&page_, "<h2>", EscapeHtml(text), "</h2>\n");
}

void HtmlWriter::Paragraph(absl::string_view text) {
  absl::StrAppend(&page_, "<p>", EscapeHtml(text), "</p>\n");
}

void HtmlWriter::List(const std::vector<std::string>& items) {
  page_ += "<ul>\n";
  for (const std::string& item : items)
    absl::StrAppend(&page_, "<li>", EscapeHtml(item), "</li>\n");
  page_ += "</ul>\n";
}

void HtmlWriter::Code(absl::string_view text) {
  absl::StrAppend(&page_, "<p><code>", EscapeHtml(text), "</code></p>\n");
}

void HtmlWriter::BeginTable(const std::vector<std::string>& headings) {
  page_ += "<table>\n<thead><tr>";
  for (const std::string& heading : headings)
    absl::StrAppend(&page_, "<th>", EscapeHtml(heading), "</th>");
  page_ += "</tr></thead>\n<tbody>\n";
}

void HtmlWriter::Row(const std::vector<std::string>& cells) {
  page_ += "<tr>";
  for (const std::string& cell : cells) absl::StrAppend(&page_, "<td>", EscapeHtml(cell), "</td>");
  page_ += "</tr>\n";
}

void HtmlWriter::EndTable() { page_ += "</tbody>\n</table>\n"; }

void HtmlWriter::Data(absl::string_view summary, absl::string_view begin, absl::string_view data,
                      absl::string_view end) {
  absl::StrAppend(&page_, "<details>\n<summary>", EscapeHtml(summary), "</summary>\n", begin, "\n",
                  data, end, "\n</details>\n");
}

std::string HtmlWriter::Finish() && { return std::move(page_) + "</body>\n</html>\n"; }

}  // namespace rundlet::dossier

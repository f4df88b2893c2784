#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "core/manual/page.h"

namespace rundlet::manual {
namespace {

// Text that roff takes as it stands. A plain "-" would become a hyphen, which cannot be searched
// for or copied as an option.
std::string Escape(absl::string_view text) {
  return absl::StrReplaceAll(text, {{"\\", "\\e"},
                                    {"-", "\\-"},
                                    {"'", "\\(aq"},
                                    {"`", "\\(ga"},
                                    {"^", "\\(ha"},
                                    {"~", "\\(ti"},
                                    {"\"", "\\(dq"}});
}

// A line of text; one that begins with a dot would be a command.
std::string Line(absl::string_view text) {
  const std::string escaped = Escape(absl::StripAsciiWhitespace(text));
  return absl::StrCat(absl::StartsWith(escaped, ".") ? "\\&" : "", escaped, "\n");
}

std::string Bold(absl::string_view text) { return absl::StrCat("\\fB", Escape(text), "\\fR"); }
std::string Slanted(absl::string_view text) { return absl::StrCat("\\fI", Escape(text), "\\fR"); }

void AppendHeading(absl::string_view title, std::string& roff) {
  absl::StrAppend(&roff, ".SH ", Escape(absl::AsciiStrToUpper(title)), "\n");
}

// Paragraphs, and lines that are shown as they are.
void AppendText(absl::string_view text, std::string& roff) {
  bool as_is = false, fresh = false;
  const auto end_as_is = [&] {
    if (as_is) absl::StrAppend(&roff, ".fi\n.RE\n");
    as_is = false;
  };
  for (const absl::string_view line : absl::StrSplit(text, '\n')) {
    if (absl::StripAsciiWhitespace(line).empty()) {
      end_as_is();
      fresh = true;
      continue;
    }
    if (line.front() == ' ') {
      if (!as_is) absl::StrAppend(&roff, fresh ? ".PP\n" : "", ".RS 4\n.nf\n");
      as_is = true;
      const std::string escaped = Escape(absl::StripTrailingAsciiWhitespace(line.substr(2)));
      absl::StrAppend(&roff, absl::StartsWith(escaped, ".") ? "\\&" : "", escaped, "\n");
    } else {
      end_as_is();
      absl::StrAppend(&roff, fresh ? ".PP\n" : "", Line(line));
    }
    fresh = false;
  }
  end_as_is();
}

void AppendWord(const Word& word, std::string& roff) {
  absl::StrAppend(&roff, ".TP\n", Bold(word.names));
  if (!word.takes.empty()) absl::StrAppend(&roff, " ", Slanted(word.takes));
  if (word.repeats) absl::StrAppend(&roff, " ...");
  std::string about = word.about;
  if (!word.otherwise.empty()) absl::StrAppend(&about, "; if left out: ", word.otherwise);
  if (!word.variable.empty())
    absl::StrAppend(&about, "; the environment variable ", word.variable, " says it as well");
  if (word.option && word.required) absl::StrAppend(&about, "; it must be said");
  absl::StrAppend(&roff, "\n", Line(about));
}

void AppendVerb(const Verb& verb, bool alone, std::string& roff) {
  if (!alone) absl::StrAppend(&roff, ".SS ", Escape(verb.command), "\n");
  if (!alone && !verb.about.empty()) absl::StrAppend(&roff, Line(verb.about));
  for (const Word& word : verb.words) {
    if (!word.option) AppendWord(word, roff);
  }
  for (const Word& word : verb.words) {
    if (word.option) AppendWord(word, roff);
  }
}

}  // namespace

std::string PrintRoff(const Page& page, absl::string_view version, absl::string_view date) {
  std::string roff = absl::StrCat(".TH ", absl::AsciiStrToUpper(Escape(page.name)), " ",
                                  page.section, " ", date, " \"", Escape(version), "\"\n");
  AppendHeading("name", roff);
  absl::StrAppend(&roff, Escape(page.name), " \\- ", Line(page.about));
  if (!page.verbs.empty()) {
    AppendHeading("synopsis", roff);
    bool first = true;
    for (const Verb& verb : page.verbs) {
      absl::StrAppend(&roff, first ? "" : ".br\n", Line(Synopsis(verb)));
      first = false;
    }
  }
  const bool words = std::any_of(page.verbs.begin(), page.verbs.end(),
                                 [](const Verb& verb) { return !verb.words.empty(); });
  if (words) AppendHeading(page.verbs.size() == 1 ? "words and options" : "commands", roff);
  for (const Verb& verb : page.verbs) AppendVerb(verb, page.verbs.size() == 1, roff);
  for (const Section& section : page.sections) {
    AppendHeading(section.title, roff);
    AppendText(section.text, roff);
  }
  if (!page.see_also.empty()) {
    AppendHeading("see also", roff);
    for (size_t i = 0; i < page.see_also.size(); ++i) {
      const std::string& name = page.see_also[i];
      const size_t open = name.find('(');
      absl::StrAppend(&roff, ".BR ", Escape(name.substr(0, open)), " ", name.substr(open),
                      i + 1 < page.see_also.size() ? ",\n" : "\n");
    }
  }
  return roff;
}

}  // namespace rundlet::manual

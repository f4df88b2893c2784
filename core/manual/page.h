#ifndef RUNDLET_CORE_MANUAL_PAGE_H_
#define RUNDLET_CORE_MANUAL_PAGE_H_

#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::manual {

// What there is to read about a program: one description, from which --help, the manual pages and
// the completion of shells are made.

// One word that a command takes: an option, or a word by its place.
struct Word {
  std::string names;  // "-h, --help"; of a word by its place: "vessel"
  // What stands for its value: "VESSEL", "VOLUME|rest", "MATERIAL AMOUNT"; empty: it takes none.
  // client/cli/complete.h says which of them a shell can complete.
  std::string takes;
  std::string about;
  std::string otherwise;  // the value where nothing is said; may be empty
  std::string variable;   // the environment variable that says it as well; may be empty
  bool option = false;
  bool required = false;
  bool repeats = false;
};

// One command with all its words.
struct Verb {
  std::string command;  // "rundlet gear lend"
  std::string about;
  std::vector<Word> words;
};

// A text of its own. Paragraphs stand apart by an empty line; lines that begin with a space are
// shown as they are.
struct Section {
  std::string title;
  std::string text;
};

// A page of the manual.
struct Page {
  std::string name;  // "rundlet-gear"
  int section = 1;   // 1: for people; 7: what is good to know; 8: for whoever keeps the server
  std::string about;
  std::vector<Verb> verbs;
  std::vector<Section> sections;
  std::vector<std::string> see_also;  // "rundlet(1)"
};

// "rundlet rack [OPTION ...] from [into ...]".
std::string Synopsis(const Verb& verb);

// What --help prints, in lines of at most `width` characters; 0: as long as they are.
std::string PrintHelp(const Verb& verb, size_t width);

// The page in the man(7) language of roff, which man, groff and mandoc read. `version` and `date`
// (ISO 8601) stand at its foot.
std::string PrintRoff(const Page& page, absl::string_view version, absl::string_view date);

// The text in lines of at most `width` characters where its words allow, each behind `indent`
// spaces but for the first; 0: one line.
std::string Wrap(absl::string_view text, size_t width, size_t indent);

}  // namespace rundlet::manual

#endif  // RUNDLET_CORE_MANUAL_PAGE_H_

#ifndef RUNDLET_CLIENT_CLI_COMPLETE_H_
#define RUNDLET_CLIENT_CLI_COMPLETE_H_

#include <functional>
#include <string>
#include <vector>

#include "absl/strings/string_view.h"

namespace rundlet::client {

// What a shell may put in the place of a word that is begun.
//
// An option or a word by its place says what it takes by its type name:
//   VESSEL, LOT, BOTTLING, BIN, OCCASION, MATERIAL, PACKET, GEAR, MEMBER
//                       things of the book by name; THING: any of them
//   PLAN, STEP, TEMPLATE, RULE, ENTRY, SUBJECT, COMMAND
//   FILE, DIRECTORY     left to the shell
//   back|forward        one of several; each side as here
//   VESSEL=VOLUME       a name and, behind '=', what no shell can know
//   VESSEL[=VOLUME]     the same where the name alone will do
//   MATERIAL AMOUNT     one after the other, again and again
// All other words in capitals (VOLUME, TIME, TEXT ...) are shown to people and not completed.

struct Candidate {
  std::string value;  // one that ends in '=' wants more behind it
  std::string about;  // may be empty
};

struct Completion {
  std::vector<Candidate> candidates;
  bool files = false;
  bool directories = false;
};

// What the book knows of one kind ("VESSEL"); `before` are the words that stand by their place in
// front of the word (a step is one of the plan before it).
using NamesOfKind = std::function<std::vector<Candidate>(absl::string_view kind,
                                                         const std::vector<std::string>& before)>;

// The candidates for the last of `words`, which may be empty, in the place where it stands behind
// "rundlet". Of candidates those that begin with what is written, in any case of letters.
Completion Complete(const std::vector<std::string>& words, const NamesOfKind& names_of);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_CLI_COMPLETE_H_

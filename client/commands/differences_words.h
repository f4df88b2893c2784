#ifndef RUNDLET_CLIENT_COMMANDS_DIFFERENCES_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_DIFFERENCES_WORDS_H_

#include <string>

#include "core/fold/fold.h"

namespace rundlet::client {

// Where counts and the book do not agree, each with what may explain it and the command for that;
// a sentence where they all agree.
std::string TextOfDifferences(const Fold& fold, size_t width);
std::string JsonOfDifferences(const Fold& fold);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_DIFFERENCES_WORDS_H_

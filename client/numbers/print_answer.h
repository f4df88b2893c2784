#ifndef RUNDLET_CLIENT_NUMBERS_PRINT_ANSWER_H_
#define RUNDLET_CLIENT_NUMBERS_PRINT_ANSWER_H_

#include <string>

#include "client/cli/session.h"
#include "core/oenology/answer.h"

namespace rundlet::client {

struct AnswerOptions {
  bool json = false;
  bool explain = false;  // how the number came about
  // The first figure is an amount that a person weighs or measures: it is given in the units of
  // kitchen scales as well.
  bool amount_first = false;
};

// The figures on stdout, with --explain the working, what was assumed and the sources; warnings and
// cautions on stderr. As JSON all of it on stdout.
void PrintAnswer(const oenology::Answer& answer, const AnswerOptions& options, Session& session);

std::string JsonOfAnswer(const oenology::Answer& answer);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_NUMBERS_PRINT_ANSWER_H_

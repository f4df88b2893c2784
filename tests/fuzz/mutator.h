#ifndef RUNDLET_TESTS_FUZZ_MUTATOR_H_
#define RUNDLET_TESTS_FUZZ_MUTATOR_H_

#include <string>
#include <vector>

#include "google/protobuf/message.h"
#include "tests/support/random.h"

namespace rundlet::testing {

// Changes a few bytes: flips, sets, inserts, takes out, doubles, cuts off.
void MutateBytes(Random& random, std::string& bytes);

// Changes one field somewhere in the message: numbers to the ends of their ranges and to the limits
// of entries, ids to others of `ids`, lists longer, shorter and in another order, another choice of
// several. The result is a message of the type, most often one that the checks let through.
void MutateMessage(Random& random, const std::vector<std::string>& ids,
                   google::protobuf::Message& message);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FUZZ_MUTATOR_H_

#ifndef RUNDLET_CLIENT_COMMANDS_ADDITION_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_ADDITION_WORDS_H_

#include <string>
#include <vector>

#include "client/cli/planner.h"
#include "core/quantity/amount.h"

namespace rundlet::client {

// What is added, or used as packaging: a material and how much of it.
struct AdditionWords {
  std::string material;  // or a packet by its name
  std::string amount;    // "2g", or a rate such as "0.3g/L"
};

// Whether the amount, as `written`, is of the dimension by which the material is measured. Usage
// error otherwise.
absl::Status CheckMeasure(const v1::Material& material, absl::string_view written,
                          const Amount& amount);

// Whether each of the packets exists and is of something that is added: what was said and could not
// be heeded must not pass unsaid. `materials` are the words before the amounts.
absl::Status CheckPackets(const Planner& planner, absl::Span<const std::string> materials,
                          absl::Span<const std::string> packets);

// Reads one line. A material of which packets are kept is taken from the one in `packets` that is
// of it, else from the oldest in stock that has not expired; of a material without packets no stock
// is kept. `volume_ul` is what a rate is reckoned by; 0 where none makes sense. The volume that the
// material brings with it is filled in.
absl::StatusOr<v1::AdditionLine> ReadAddition(const Planner& planner, const AdditionWords& words,
                                              const std::vector<std::string>& packets,
                                              int64_t volume_ul, Change& change);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_ADDITION_WORDS_H_

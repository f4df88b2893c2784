#ifndef RUNDLET_CLIENT_COMMANDS_TRANSFER_WORDS_H_
#define RUNDLET_CLIENT_COMMANDS_TRANSFER_WORDS_H_

#include <string>
#include <vector>

#include "client/cli/command.h"
#include "client/cli/planner.h"

namespace rundlet::client {

// The words that all commands share which move wine: where from, where to, what was lost on the
// way, with what gear.

// --lees 0.7L, --loss rest, --sample 100mL ...
class OutflowWords {
 public:
  void Declare(CLI::App& app);
  absl::Status Fill(google::protobuf::RepeatedPtrField<v1::Outflow>& outflows) const;
  // Whether one of them takes the rest.
  bool TakesRest() const;
  bool empty() const;

 private:
  std::string lees_, loss_, evaporation_, sample_, spill_, dump_;
};

struct TransferWords {
  std::vector<std::string> from;  // VESSEL or VESSEL=AMOUNT
  std::vector<std::string> to;
  OutflowWords outflows;
  std::string lot;
  std::vector<std::string> gear;

  void DeclareCommon(CLI::App& app);  // outflows, lot, gear

  // Puts it all into the transfer. Draws without an amount take all. Of the vessels filled, at most
  // one may be without an amount: it takes the rest. A lot that does not exist yet is made.
  absl::Status Fill(Planner& planner, Change& change, v1::Transfer& transfer) const;

 private:
  absl::Status FillEnds(Planner& planner, v1::Transfer& transfer) const;
};

// The account that a word names, of those allowed; InvalidArgument with the list of words
// otherwise.
absl::StatusOr<v1::Account> ParseAccount(absl::string_view word,
                                         absl::Span<const v1::Account> allowed);
// Where wine, and where bottles, may go.
absl::Span<const v1::Account> WineOutflowAccounts();
absl::Span<const v1::Account> BottleAccounts();

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_TRANSFER_WORDS_H_

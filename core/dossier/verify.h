#ifndef RUNDLET_CORE_DOSSIER_VERIFY_H_
#define RUNDLET_CORE_DOSSIER_VERIFY_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "core/base/uuid.h"
#include "core/evidence/checkpoint.h"
#include "core/quantity/when.h"
#include "rundlet/v1/dossier.pb.h"

namespace rundlet::dossier {

// One entry of a dossier, in words.
struct Line {
  uint64_t seq = 0;
  Uuid id;
  When when;
  std::string author;
  std::string says;
  std::string note;
  std::string standing;     // "void", "superseded"; empty: it counts
  bool in_journal = false;  // the server signed that it stands at its place
  std::string signed_by;    // the device whose signature covers it; empty: none does
};

// What a dossier proves to somebody who has nothing but it.
struct Verdict {
  // What its maker says, and nobody signs.
  std::string title, cellar_name;
  int64_t made_at_us = 0;

  Uuid cellar_id;
  std::string server_key;     // as whoever runs the server publishes it
  uint64_t journal_size = 0;  // that the server signed; 0: its signature is not good
  std::string root;           // hexadecimal

  std::vector<Line> lines;  // in the order of the journal
  // What is wrong, a sentence each; empty: nothing is.
  std::vector<std::string> problems;
  // What is not proven and has to be believed, a sentence each.
  std::vector<std::string> unproven;
};

// Checks the signature of the checkpoint; that every entry stands at its place in the journal that
// it signs; the chain of each device where its entries follow one another; each signature of a
// device, by the key that the entries themselves say, where each key is signed by the one before
// it; and who speaks for whom, and let them in (core/evidence/people.h). `demanded`: the server's
// key has to be this one.
//
// InvalidArgument: the dossier is of a newer format.
absl::StatusOr<Verdict> Verify(const v1::Dossier& dossier,
                               const std::optional<evidence::PublicKey>& demanded = std::nullopt);

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_VERIFY_H_

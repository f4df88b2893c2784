#ifndef RUNDLET_TESTS_FAULTS_AUDITOR_H_
#define RUNDLET_TESTS_FAULTS_AUDITOR_H_

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "tests/faults/fleet.h"

namespace rundlet::testing {

struct Verdict {
  int64_t acknowledged = 0;
  int64_t lost = 0;     // acknowledged, and not in the journal
  int64_t doubled = 0;  // acknowledged, and in the journal more than once or at another place
  std::vector<std::string> problems;  // a sentence each; empty: all is well
};

// Holds a fleet that has settled, with its server running, to what Rundlet promises:
//
//   I1  the movements explain every balance, in each cellar and commodity, and none is below zero
//   I2  the journal has no gap, its tree is that of its entries, and it begins with everything that
//       the server ever signed
//   I3  every entry that was acknowledged is there exactly once
//   I4  every entry that somebody was told was saved is in exactly one of outbox, journal, returned
//   I5  folding the journal from nothing gives what the server shows, and the digest of each device
//   I6  nothing of one cellar is to be seen in another
//
// It asks the programs (`rundletd audit`, `rundletd rebuild --compare`, `rundlet audit`,
// `rundlet digest`), and, where they could be wrong together, the database and the books by SQL of
// its own.
class Auditor {
 public:
  explicit Auditor(Fleet& fleet) : fleet_(fleet) {}
  Verdict Run();

 private:
  // How often each entry stands in a cellar's journal, and where last.
  struct Place {
    int64_t times = 0;
    uint64_t seq = 0;
  };
  using Journal = std::map<std::string, Place>;

  void Problem(std::string text) { verdict_.problems.push_back(std::move(text)); }
  // Each row that the query gives is a problem.
  void NoRows(const std::string& invariant, const std::string& query);
  // The program must end with 0.
  std::string MustEndWell(const std::string& invariant, const std::string& what,
                          const Finished& done);

  void CheckBalances();      // I1
  void CheckJournal();       // I2
  void CheckAcknowledged();  // I3
  void CheckSaved();         // I4
  void CheckFolds();         // I5
  void CheckCellarsApart();  // I6
  Journal ReadJournal(const std::string& cellar_id);

  Fleet& fleet_;
  Journal journal_;  // the circle's
  Verdict verdict_;
};

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_AUDITOR_H_

#include "tests/faults/auditor.h"

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_split.h"
#include "tests/faults/auditor_queries.h"
#include "tests/faults/book.h"

namespace rundlet::testing {

Verdict Auditor::Run() {
  journal_ = ReadJournal(fleet_.circle_id());
  CheckBalances();
  CheckJournal();
  CheckAcknowledged();
  CheckSaved();
  CheckFolds();
  CheckCellarsApart();
  return verdict_;
}

void Auditor::NoRows(const std::string& invariant, const std::string& query) {
  const std::string rows = MustEndWell(invariant, "SQL", fleet_.server().Sql(query));
  for (const absl::string_view row : absl::StrSplit(rows, '\n', absl::SkipEmpty()))
    Problem(absl::StrCat(invariant, ": ", row));
}

std::string Auditor::MustEndWell(const std::string& invariant, const std::string& what,
                                 const Finished& done) {
  if (done.exit_code != 0)
    Problem(absl::StrCat(invariant, ": ", what, " ended with ", done.exit_code, ": ", done.out,
                         done.err));
  return done.out;
}

Auditor::Journal Auditor::ReadJournal(const std::string& cellar_id) {
  const Finished read = fleet_.server().Sql(absl::StrCat(
      "select entry_id, seq from rundlet.journal where cellar_id = '", cellar_id, "'"));
  Journal journal;
  for (const absl::string_view row :
       absl::StrSplit(MustEndWell("I3", "SQL", read), '\n', absl::SkipEmpty())) {
    const std::pair<std::string, std::string> columns = absl::StrSplit(row, '|');
    Place& place = journal[columns.first];
    ++place.times;
    if (!absl::SimpleAtoi(columns.second, &place.seq)) Problem(absl::StrCat("I2: seq ", row));
  }
  return journal;
}

void Auditor::CheckBalances() {
  NoRows("I1", kUnexplainedBalances);
  NoRows("I1", kUnbalancedBooks);
}

void Auditor::CheckJournal() {
  NoRows("I2", kGapsInJournals);
  NoRows("I2", kWrongHashes);
  MustEndWell("I2", "rundletd audit", fleet_.server().Admin({"audit"}));
  for (const std::string& checkpoint : fleet_.checkpoints())
    MustEndWell("I2", "rundletd audit --checkpoint",
                fleet_.server().Admin({"audit", "--checkpoint", checkpoint}));
}

void Auditor::CheckAcknowledged() {
  for (const auto& [entry_id, seq] : fleet_.promises().acknowledged()) {
    ++verdict_.acknowledged;
    const auto found = journal_.find(entry_id);
    if (found == journal_.end()) {
      ++verdict_.lost;
      Problem(absl::StrCat("I3: entry ", entry_id, " was acknowledged as number ", seq,
                           " and is not in the journal"));
    } else if (found->second.times != 1 || (seq != 0 && found->second.seq != seq)) {
      ++verdict_.doubled;
      Problem(absl::StrCat("I3: entry ", entry_id, " was acknowledged as number ", seq,
                           " and stands there ", found->second.times, " times, last as ",
                           found->second.seq));
    }
  }
  for (const std::string& broken : fleet_.promises().broken()) {
    ++verdict_.doubled;
    Problem(absl::StrCat("I3: ", broken));
  }
}

void Auditor::CheckSaved() {
  std::map<std::string, std::map<std::string, std::vector<std::string>>> states;
  for (const std::string& home : fleet_.homes()) {
    for (const BookLine& line : ReadBook(home)) {
      if (!line.own) continue;
      states[home][line.entry_id].push_back(line.state);
      const bool in_journal = journal_.count(line.entry_id) > 0;
      if (in_journal != (line.state == "recorded") && line.reason.empty())
        Problem(absl::StrCat("I4: ", home, " has entry ", line.entry_id, " as ", line.state,
                             ", and it is ", in_journal ? "" : "not ", "in the journal"));
    }
  }
  const auto saved = fleet_.promises().saved();
  for (const std::string& home : fleet_.homes()) {
    const auto said = saved.find(home);
    if (said == saved.end()) continue;
    for (const std::string& entry_id : said->second) {
      const size_t times = states[home][entry_id].size();
      if (times != 1)
        Problem(absl::StrCat("I4: ", home, " said that it had saved ", entry_id, ", and has it ",
                             times, " times"));
    }
  }
}

void Auditor::CheckFolds() {
  const std::string rebuilt = MustEndWell("I5", "rundletd rebuild --compare",
                                          fleet_.server().Admin({"rebuild", "--compare"}));
  for (const std::string& home : fleet_.homes()) {
    const ClientProcess device(home);
    MustEndWell("I5", absl::StrCat(home, " rundlet audit"), device.Try("audit"));
    const std::string digest =
        MustEndWell("I5", absl::StrCat(home, " rundlet digest"), device.Try("digest"));
    if (digest.size() < 64 || rebuilt.find(digest.substr(0, 64)) == std::string::npos)
      Problem(absl::StrCat("I5: ", home, " has the digest ", digest, " and the server ", rebuilt));
  }
}

void Auditor::CheckCellarsApart() {
  const Journal neighbours = ReadJournal(fleet_.neighbours_id());
  if (neighbours.empty()) Problem("I6: the neighbour has nothing that could be seen");
  for (const std::string& home : fleet_.homes()) {
    for (const BookLine& line : ReadBook(home)) {
      if (neighbours.count(line.entry_id) > 0)
        Problem(absl::StrCat("I6: ", home, " has the neighbour's entry ", line.entry_id));
    }
  }
  for (const BookLine& line : ReadBook(fleet_.neighbour().home())) {
    if (journal_.count(line.entry_id) > 0)
      Problem(absl::StrCat("I6: the neighbour has the circle's entry ", line.entry_id));
  }
  for (const std::string& cellar_id : {fleet_.circle_id(), fleet_.neighbours_id()})
    MustEndWell("I6", "looking into every table",
                fleet_.server().Sql(absl::StrFormat(kRowsOfOthers, cellar_id)));
}

}  // namespace rundlet::testing

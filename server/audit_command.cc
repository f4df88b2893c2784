// rundletd audit: whether the journals in the database are what the devices signed.
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "core/base/harmless.h"
#include "core/evidence/checkpoint.h"
#include "server/admin_commands.h"
#include "server/audit_record.h"
#include "server/cellar/journal_audit.h"

namespace rundlet::server {
namespace {

constexpr uint64_t kTellEvery = 100'000;  // some seconds of work

// The signed note in a file: the note alone, or what a device keeps, which has the key before it
// and other lines between.
absl::StatusOr<evidence::Checkpoint> ReadCheckpoint(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  if (!file) return absl::NotFoundError(absl::StrCat("cannot read ", path));
  const size_t note = text.find("\nrundlet/");
  std::optional<evidence::PublicKey> key;
  for (const absl::string_view word :
       absl::StrSplit(absl::string_view(text).substr(0, note), absl::ByAnyChar(" \n"))) {
    if (const auto read = evidence::ReadKey(word); read.ok()) key = *read;
  }
  if (note == std::string::npos || !key.has_value())
    return absl::InvalidArgumentError(absl::StrCat(
        path, " holds no checkpoint with its key: name the file 'checkpoint' out of the directory ",
        "of a device's book"));
  return evidence::OpenCheckpoint(text.substr(note + 1), *key);
}

void Print(const CellarName& cellar, const JournalAuditReport& report, std::ostream& out) {
  for (const std::string& problem : report.problems)
    out << "wrong: " << Harmless(problem, true) << '\n';
  for (const std::string& remark : report.remarks)
    out << "not proven: " << Harmless(remark, true) << '\n';
  if (report.from_before > 0)
    out << "the first " << report.from_before
        << " entries bear no signature: they are from before there were any\n";
  out << "audited " << cellar.cellar_id.ToString() << ", " << report.entries << " entries of "
      << report.devices << " devices, " << report.seals << " signatures, root "
      << absl::BytesToHexString(HashBytes(report.root)) << ", " << cellar.name << ": "
      << (report.problems.empty()
              ? std::string("all is well")
              : absl::StrCat(report.problems.size(),
                             report.problems.size() == 1 ? " thing is" : " things are", " wrong"))
      << '\n';
}

}  // namespace

void AdminCommands::AddAuditCommand(CLI::App& app) {
  CLI::App* audit =
      AddCommand(&app, "audit",
                 "Check each entry's bytes, chain and signature, and the tree over them; change "
                 "nothing",
                 &AdminCommands::Audit);
  audit->add_option("--cellar", cellar_, "Only this cellar, by id or name");
  audit->add_option("--checkpoint", checkpoint_,
                    "A checkpoint that a device has kept: its journal has to begin with that one");
}

absl::StatusOr<int> AdminCommands::Audit(Admin& admin, std::ostream& out) {
  std::optional<evidence::Checkpoint> checkpoint;
  if (!checkpoint_.empty()) {
    const auto read = ReadCheckpoint(checkpoint_);
    if (!read.ok()) return read.status();
    checkpoint = *read;
    if (cellar_.empty()) cellar_ = read->cellar_id.ToString();
  }
  const absl::StatusOr<std::vector<CellarName>> cellars = ChosenCellars(admin);
  if (!cellars.ok()) return cellars.status();
  size_t problems = 0;
  for (const CellarName& cellar : *cellars) {
    if (checkpoint.has_value() && checkpoint->cellar_id != cellar.cellar_id)
      return absl::InvalidArgumentError(
          absl::StrCat(checkpoint_, " is not of the cellar '", cellar.name, "'"));
    uint64_t read = 0;
    const auto step = [&] {
      if (++read % kTellEvery == 0) std::cerr << "checked " << read << " entries" << std::endl;
    };
    const auto report =
        AuditJournal(admin.pool(), cellar.cellar_id, checkpoint, step, admin.Deadline());
    if (!report.ok()) return report.status();
    Print(cellar, *report, out);
    problems += report->problems.size();
  }
  if (cellar_.empty()) {
    const absl::Status kept =
        WriteAuditRecord(options_.database->data_dir, {.at = options_.now(), .problems = problems});
    // The audit is as good without.
    if (!kept.ok()) std::cerr << "note: the server cannot show this audit: " << kept << std::endl;
  }
  return problems == 0 ? 0 : 1;
}

}  // namespace rundlet::server

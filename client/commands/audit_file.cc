#include "client/commands/audit_file.h"

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "core/base/harmless.h"
#include "core/dossier/file.h"
#include "core/dossier/verify.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

using dossier::Line;
using dossier::Verdict;

std::string JsonOf(const Line& line) {
  return JsonObject()
      .Number("seq", static_cast<int64_t>(line.seq))
      .Text("entry_id", line.id.ToString())
      .Text("effective_at", FormatWhenIso(line.when))
      .Text("author", line.author)
      .Text("summary", line.says)
      .Text("note", line.note)
      .Text("standing", line.standing)
      .Bool("in_journal", line.in_journal)
      .Text("signed_by", line.signed_by)
      .Finish();
}

void PrintJson(const Verdict& verdict, Session& session) {
  std::vector<std::string> lines;
  for (const Line& line : verdict.lines) lines.push_back(JsonOf(line));
  session.out() << JsonObject()
                       .Text("title", verdict.title)
                       .Text("cellar_id", verdict.cellar_id.ToString())
                       .Text("cellar_name", verdict.cellar_name)
                       .Text("key", verdict.server_key)
                       .Number("journal_size", static_cast<int64_t>(verdict.journal_size))
                       .Text("root", verdict.root)
                       .Raw("entries", JsonArray(lines))
                       .Raw("not_proven", JsonTexts(verdict.unproven))
                       .Raw("problems", JsonTexts(verdict.problems))
                       .Finish()
                << "\n";
}

void PrintLine(const Line& line, Session& session) {
  session.out() << line.seq << "  " << ShortId(line.id) << "  " << FormatWhen(line.when) << "  "
                << Harmless(line.author, true) << "  " << Harmless(line.says, true)
                << (line.note.empty() ? "" : absl::StrCat(" (", Harmless(line.note, true), ")"))
                << (line.standing.empty() ? "" : absl::StrCat(" [", line.standing, "]"))
                << (!line.in_journal         ? "  NOT PROVEN"
                    : line.signed_by.empty() ? "  not signed"
                                             : "")
                << "\n";
}

void PrintText(const Verdict& verdict, Session& session) {
  session.out() << Harmless(verdict.title, true) << "\n"
                << "made " << FormatWhenIso({.at_us = verdict.made_at_us}) << " of the cellar "
                << verdict.cellar_id.ToString() << " (" << Harmless(verdict.cellar_name, true)
                << "); title, name and day are its maker's words\n\n";
  for (const Line& line : verdict.lines) PrintLine(line, session);
  const auto proven = [&](auto which) {
    return std::count_if(verdict.lines.begin(), verdict.lines.end(), which);
  };
  session.out() << "\nproven: " << proven([](const Line& line) { return line.in_journal; })
                << " of " << verdict.lines.size()
                << " entries stand in the journal that the server signed, of "
                << verdict.journal_size << " entries, root\n  " << verdict.root << "\n"
                << "proven: " << proven([](const Line& line) { return !line.signed_by.empty(); })
                << " of them were written by the devices in whose name they are\n"
                << "the server's key, to be compared with what the cellar's keeper publishes:\n  "
                << Harmless(verdict.server_key, true) << "\n";
  for (const std::string& text : verdict.unproven)
    session.out() << "not proven: " << Harmless(text, true) << "\n";
  session.out() << "not proven: that nothing was left out; only the whole journal shows that "
                   "nothing else happened\n";
  for (const std::string& text : verdict.problems)
    session.out() << "wrong: " << Harmless(text, true) << "\n";
  session.out() << (verdict.problems.empty()
                        ? std::string("all that it says to prove holds")
                        : absl::StrCat(verdict.problems.size(),
                                       verdict.problems.size() == 1 ? " thing is" : " things are",
                                       " wrong (above)"))
                << "\n";
}

}  // namespace

absl::Status AuditFile(const AuditFileOptions& options, Session& session) {
  std::optional<evidence::PublicKey> demanded;
  if (!options.key.empty()) {
    const auto key = evidence::ReadKey(options.key);
    if (!key.ok())
      return absl::InvalidArgumentError(absl::StrCat("--key: ", key.status().message()));
    demanded = *key;
  }
  // Before it is read: it may be a stranger's.
  std::error_code unknown;
  if (const auto size = std::filesystem::file_size(options.path, unknown);
      !unknown && size > dossier::kMaxFileBytes)
    return absl::InvalidArgumentError(absl::StrCat(options.path, " is too long for a dossier"));
  const auto text = ReadFile(options.path);
  if (!text.ok()) return text.status();
  const auto dossier = dossier::ReadDossier(*text);
  if (!dossier.ok()) return dossier.status();
  const auto verdict = dossier::Verify(*dossier, demanded);
  if (!verdict.ok()) return verdict.status();
  if (!verdict->problems.empty()) session.exit_code = kExitError;
  if (options.json) {
    PrintJson(*verdict, session);
  } else {
    PrintText(*verdict, session);
  }
  return absl::OkStatus();
}

}  // namespace rundlet::client

// rundlet audit: whether this device's book is whole, found out without the server; or whether a
// dossier holds, found out without the book.
#include "client/cellar/audit.h"

#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/cli/progress.h"
#include "client/commands/audit_file.h"
#include "client/commands/commands.h"
#include "core/base/harmless.h"

namespace rundlet::client {
namespace {

class BookAudit : public ViewCommand {
 public:
  bool wants_json() const { return json(); }
  uint64_t since() const { return since_; }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option(
           "--since", since_,
           "only what stands in the journal after this place; an earlier audit saw the rest")
        ->type_name("NUMBER");
  }

  bool HasPast() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    Progress progress(session.env, static_cast<int64_t>(cellar.fold->sequence().rows()), "checked",
                      "entries");
    const auto step = json() ? std::function<void()>([] {}) : [&progress] { progress.Step(); };
    const auto report = AuditBook(cellar, {.since = since_, .step = step});
    if (!report.ok()) return report.status();
    if (!report->problems.empty()) session.exit_code = kExitError;
    if (json()) {
      session.out() << JsonObject()
                           .Number("entries", report->entries)
                           .Number("devices", report->devices)
                           .Number("devices_let_in", report->devices_let_in)
                           .Number("from_before", static_cast<int64_t>(report->from_before))
                           .Number("journal_size", static_cast<int64_t>(report->journal_size))
                           .Number("signed_size", static_cast<int64_t>(report->signed_size))
                           .Text("signed_root", report->signed_root)
                           .Number("unplaced", report->unplaced)
                           .Text("digest", report->digest)
                           .Raw("not_proven", JsonTexts(report->remarks))
                           .Raw("problems", JsonTexts(report->problems))
                           .Finish()
                    << "\n";
      return absl::OkStatus();
    }
    for (const std::string& problem : report->problems)
      session.out() << "wrong: " << Harmless(problem, true) << "\n";
    for (const std::string& remark : report->remarks)
      session.out() << "not proven: " << Harmless(remark, true) << "\n";
    session.out() << report->entries << (report->entries == 1 ? " entry of " : " entries of ")
                  << report->devices << (report->devices == 1 ? " device" : " devices")
                  << (since_ == 0 ? ": hashes, chains, signatures and the fold\n"
                                  : absl::StrCat(" after place ", since_,
                                                 ": hashes, chains and signatures\n"));
    if (report->from_before > 0)
      session.out() << "the first " << report->from_before
                    << " bear no signature: they are from before there were any\n";
    if (report->signed_size == 0) {
      session.out() << "the server has signed nothing of it yet: rundlet sync\n";
    } else {
      session.out() << "the server signed the first " << report->signed_size << " of "
                    << report->journal_size << " entries of its journal, root\n  "
                    << report->signed_root
                    << "\n  (two devices with as many entries must have the same root)\n";
    }
    if (report->unplaced > 0)
      session.out()
          << report->unplaced
          << " entries are not in the server's journal any more, and were: it was restored "
             "from a backup\n";
    if (!report->digest.empty()) session.out() << "digest " << report->digest << "\n";
    session.out() << (report->problems.empty()
                          ? std::string("all is well")
                          : absl::StrCat(report->problems.size(),
                                         report->problems.size() == 1 ? " thing is" : " things are",
                                         " wrong (above)"))
                  << "\n";
    return absl::OkStatus();
  }

 private:
  uint64_t since_ = 0;
};

class Audit : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_.path, "a dossier, in place of this device's book")
        ->type_name("FILE");
    app.add_option("--key", file_.key, "the dossier's server has to have this key")
        ->type_name("HEX");
    book_.Declare(app);
  }

  absl::Status Run(Session& session) override {
    if (file_.path.empty()) {
      if (!file_.key.empty()) return Usage("--key goes with the file of a dossier");
      return book_.Run(session);
    }
    if (book_.since() != 0) return Usage("--since is for the book, not for a dossier");
    file_.json = book_.wants_json();
    return AuditFile(file_, session);
  }

 private:
  BookAudit book_;
  AuditFileOptions file_;
};

}  // namespace

std::unique_ptr<Command> MakeAudit() { return std::make_unique<Audit>(); }

}  // namespace rundlet::client

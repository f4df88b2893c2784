// rundlet books: all movements as plain-text double entry, for any accounting tool that reads it.
#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"
#include "core/books/ledger_export.h"
#include "core/quantity/when.h"

namespace rundlet::client {
namespace {

class Books : public ViewCommand {
 protected:
  bool ForPeople() const override { return false; }
  void DeclareWords(CLI::App& app) override {
    app.add_option("--out", path_, "the file to write; else it is printed")->type_name("FILE");
    app.add_flag("--balances", balances_,
                 "instead what must be left on each account, as the book has it");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    if (path_.empty()) {
      Write(*cellar.fold, [&](absl::string_view text) {
        session.out().write(text.data(), static_cast<std::streamsize>(text.size()));
      });
      return absl::OkStatus();
    }
    std::string all;
    Write(*cellar.fold, [&](absl::string_view text) { absl::StrAppend(&all, text); });
    if (absl::Status status = WritePrivateFile(path_, all); !status.ok()) return status;
    session.out() << "written to " << path_ << "\n";
    return absl::OkStatus();
  }

 private:
  void Write(const Fold& fold, absl::FunctionRef<void(absl::string_view)> write) const {
    if (json()) {
      write(absl::StrCat(balances_ ? JsonOfBalances(fold) : JsonOfMovements(fold), "\n"));
    } else if (!balances_) {
      WriteLedger(fold, write);
    } else {
      for (const LedgerBalance& left : LedgerBalances(fold))
        write(absl::StrCat(left.account, "  ", left.amount, " \"", left.commodity, "\"\n"));
    }
  }

  static std::string JsonOfMovements(const Fold& fold) {
    std::vector<std::string> items;
    ForEachLedgerMovement(fold, [&](const LedgerMovement& m) {
      items.push_back(
          JsonObject()
              .Text("entry_id", m.entry.id.ToString())
              .Text("effective_at", FormatWhenIso({.at_us = m.entry.effective_at_us,
                                                   .utc_offset_min = m.entry.utc_offset_min}))
              .Text("kind", m.kind)
              .Text("from", m.from)
              .Text("to", m.to)
              .Text("commodity", m.commodity)
              .Number("amount", m.amount)
              .Finish());
    });
    return JsonArray(items);
  }

  static std::string JsonOfBalances(const Fold& fold) {
    std::vector<std::string> items;
    for (const LedgerBalance& left : LedgerBalances(fold)) {
      items.push_back(JsonObject()
                          .Text("account", left.account)
                          .Text("commodity", left.commodity)
                          .Number("amount", left.amount)
                          .Finish());
    }
    return JsonArray(items);
  }

  std::string path_;
  bool balances_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeBooks() { return std::make_unique<Books>(); }

}  // namespace rundlet::client

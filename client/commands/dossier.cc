// rundlet dossier: a lot's story with its proofs, for outsiders, in one file.
#include <algorithm>
#include <map>

#include "absl/container/flat_hash_set.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "client/base/new_file.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/commands/commands.h"
#include "client/store/checkpoint_file.h"
#include "client/store/seal_store.h"
#include "core/closing/words.h"
#include "core/dossier/file.h"
#include "core/dossier/gather.h"
#include "core/dossier/maker.h"
#include "core/dossier/page.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// What a book holds of the journal, and of the entries that a dossier is to have.
struct Gathered {
  std::vector<Hash> places;                 // of the journal, from its first
  std::map<uint64_t, std::string> entries;  // by place
  std::vector<std::string> not_in_it;       // what has no place that the server signed, in words
};

absl::StatusOr<Gathered> Gather(Cellar& cellar, Handle lot, uint64_t signed_size) {
  const Fold& fold = *cellar.fold;
  const auto rows =
      dossier::GatherRows(fold, lot, [&](RowId row) { return EntryOfRow(cellar, row); });
  if (!rows.ok()) return rows.status();
  const absl::flat_hash_set<RowId> wanted(rows->begin(), rows->end());
  Gathered gathered;
  const absl::Status status = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    if (stored.state == EntryState::kReturned) return absl::OkStatus();
    if (stored.seq > gathered.places.size()) gathered.places.resize(stored.seq);
    if (stored.seq > 0) gathered.places[stored.seq - 1] = stored.hash;
    const RowId row = fold.sequence().Find(stored.id);
    if (row == kNone || !wanted.contains(row)) return absl::OkStatus();
    if (stored.seq > 0 && stored.seq <= signed_size) {
      gathered.entries[stored.seq] = stored.bytes;
      return absl::OkStatus();
    }
    const auto entry = ReadEntry(stored.bytes);
    gathered.not_in_it.push_back(absl::StrCat(
        "the entry ", ShortId(stored.id), " by ", closing::WhoText(fold, row), ": ",
        entry.ok() ? Summarise(fold, *entry) : "it cannot be read",
        stored.seq > 0 ? "; the server has not signed so far" : "; it is not synced yet"));
    return absl::OkStatus();
  });
  if (!status.ok()) return status;
  return gathered;
}

class DossierCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("lot", lot_, "the lot's name")->type_name("LOT")->required();
    app.add_option("--to", path_, "the file to write: NAME.html, a page, or NAME.json")
        ->type_name("FILE")
        ->required();
    app.add_option("--title", title_, "what stands over it");
    app.add_flag("--json", json_, "print JSON");
    app.footer(
        "Sync first: only what the server has signed can be proven.\n"
        "Anybody checks the file, without the cellar: rundlet audit FILE");
  }

  absl::Status Run(Session& session) override {
    const bool page = absl::EndsWith(path_, ".html") || absl::EndsWith(path_, ".htm");
    if (!page && !absl::EndsWith(path_, ".json"))
      return Usage(absl::StrCat("--to: '", path_, "' is neither NAME.html nor NAME.json"));
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const auto lot = FindByName(*cellar->fold, v1::Thing::kLot, lot_);
    if (!lot.ok()) return lot.status();
    return Write(*cellar, *lot, page, session);
  }

 private:
  absl::Status Write(Cellar& cellar, Handle lot, bool page, Session& session) const {
    const auto saved = ReadSavedCheckpoint(cellar.store.home());
    if (!saved.ok()) return saved.status();
    if (!saved->has_value())
      return absl::FailedPreconditionError(
          "the server has signed nothing of this book yet, so nothing can be proven: rundlet sync");
    auto gathered = Gather(cellar, lot, (*saved)->edge.size());
    if (!gathered.ok()) return gathered.status();
    const int64_t now_us = session.env.Now().at_us;
    const auto made = Make(cellar, lot, **saved, *gathered, now_us);
    if (!made.ok()) return made.status();
    const auto verdict = dossier::Verify(*made);
    if (!verdict.ok()) return verdict.status();
    if (!verdict->problems.empty())
      return absl::DataLossError(absl::StrCat("nothing was written: ", verdict->problems[0],
                                              "; rundlet audit looks at the whole book"));
    const auto text = page ? PageOf(cellar, lot, *made, *verdict, gathered->not_in_it, session)
                           : dossier::ToJson(*made);
    if (!text.ok()) return text.status();
    if (text->size() > dossier::kMaxFileBytes)
      return absl::FailedPreconditionError(
          "nothing was written: the lot's story is too long for a dossier; hand over the journal");
    auto file = NewFile::Create(path_);
    if (!file.ok()) return file.status();
    if (absl::Status status = file->Write(*text); !status.ok()) return status;
    if (absl::Status status = file->Finish(); !status.ok()) return status;
    Conclude(*verdict, gathered->not_in_it, session);
    return absl::OkStatus();
  }

  absl::StatusOr<v1::Dossier> Make(Cellar& cellar, Handle lot, const SavedCheckpoint& saved,
                                   Gathered& gathered, int64_t now_us) const {
    auto seals = SealStore(cellar.store.db()).After(0);
    if (!seals.ok()) return seals.status();
    auto maker = dossier::Maker::Create(saved.note, saved.key, std::move(gathered.places),
                                        *std::move(seals));
    if (!maker.ok()) return maker.status();
    for (const auto& [seq, bytes] : gathered.entries) {
      if (absl::Status status = maker->Add(seq, bytes); !status.ok()) return status;
    }
    const std::string& cellar_name = cellar.store.device().cellar_name;
    return maker->Finish(
        title_.empty() ? absl::StrCat(NameOf(*cellar.fold, lot), ", ", cellar_name) : title_,
        cellar_name, now_us);
  }

  static absl::StatusOr<std::string> PageOf(Cellar& cellar, Handle lot, const v1::Dossier& made,
                                            const dossier::Verdict& verdict,
                                            const std::vector<std::string>& not_in_it,
                                            const Session& session) {
    const auto story = dossier::TellStory(*cellar.fold, lot, made.made_at_us(),
                                          [&](const Uuid& id) -> absl::StatusOr<v1::Entry> {
                                            const auto stored = cellar.store.Find(id);
                                            if (!stored.ok()) return stored.status();
                                            return ReadEntry(stored->bytes);
                                          });
    if (!story.ok()) return story.status();
    return dossier::MakePage(made, verdict, *story, not_in_it, session.env.Now().utc_offset_min);
  }

  void Conclude(const dossier::Verdict& verdict, const std::vector<std::string>& not_in_it,
                Session& session) const {
    const auto signed_entries =
        std::count_if(verdict.lines.begin(), verdict.lines.end(),
                      [](const dossier::Line& line) { return !line.signed_by.empty(); });
    if (json_) {
      session.out() << JsonObject()
                           .Text("file", path_)
                           .Number("entries", static_cast<int64_t>(verdict.lines.size()))
                           .Number("signed", signed_entries)
                           .Text("key", verdict.server_key)
                           .Raw("not_in_it", JsonTexts(not_in_it))
                           .Finish()
                    << "\n";
      return;
    }
    for (const std::string& text : not_in_it) session.err() << "not proven: " << text << "\n";
    session.out() << "written to " << path_ << ": " << verdict.lines.size() << " entries, "
                  << signed_entries << " of them signed by their devices\n"
                  << "anybody checks it with: rundlet audit " << path_ << " --key "
                  << verdict.server_key << "\n";
  }

  std::string lot_, path_, title_;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeDossier() { return std::make_unique<DossierCommand>(); }

}  // namespace rundlet::client

#include "core/dossier/page.h"

#include <map>

#include "absl/strings/str_cat.h"
#include "core/costs/shares.h"
#include "core/dossier/file.h"
#include "core/dossier/html.h"
#include "core/quantity/format.h"
#include "core/reports/cell_text.h"
#include "core/reports/dossier.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::dossier {
namespace {

using reports::Cell;

// Sorts the rows of the lot's report (core/reports/dossier.h) into the parts of the page.
class StorySink : public reports::Sink {
 public:
  explicit StorySink(Story& story) : story_(story) {}

  void Head(absl::string_view) override {}
  void Begin(absl::string_view, absl::Span<const reports::Column> columns) override {
    for (const reports::Column& column : columns) keys_.push_back(column.key);
  }
  void Row(absl::Span<const Cell> cells) override {
    std::map<std::string, std::string> row;
    for (size_t i = 0; i < cells.size(); ++i) row[keys_[i]] = reports::CellText(cells[i]);
    const std::string& part = row["part"];
    if (part == "lot") story_.about.push_back(row["what"]);
    if (part == "origin") story_.origins.push_back({row["what"], row["amount"]});
    if (part == "is in") story_.places.push_back({row["what"], row["amount"]});
    if (part == "finding") story_.findings.push_back(row["what"]);
    if (part == "entry")
      story_.entries.push_back({row["at"], row["what"], row["who"], row["entry"], row["state"]});
  }
  void Note(absl::string_view) override {}

 private:
  Story& story_;
  std::vector<std::string> keys_;
};

void TellShares(const Fold& fold, Handle lot, Story& story) {
  const costs::LotShares shares = costs::SharesOf(fold, lot);
  for (const costs::SizeShare& size : shares.sizes) {
    for (size_t i = 0; i < shares.members.size(); ++i) {
      story.shares.push_back({NameOf(fold, shares.members[i].member), FormatVolume(size.size_ul),
                              absl::StrCat(size.entitled[i]), absl::StrCat(size.taken[i])});
    }
  }
}

void Table(const std::vector<std::string>& headings,
           const std::vector<std::vector<std::string>>& rows, HtmlWriter& page) {
  page.BeginTable(headings);
  for (const std::vector<std::string>& row : rows) page.Row(row);
  page.EndTable();
}

std::string ProofWord(const Line& line) {
  return !line.in_journal         ? "NOT PROVEN"
         : line.signed_by.empty() ? absl::StrCat("place ", line.seq, ", not signed")
                                  : absl::StrCat("place ", line.seq, ", signed");
}

void TellEntries(const Verdict& verdict, const Story& story, HtmlWriter& page) {
  std::map<std::string, const Line*> by_id;
  for (const Line& line : verdict.lines) by_id[ShortId(line.id)] = &line;
  page.BeginTable({"When", "What", "Who", "Entry", "Proof"});
  for (const std::vector<std::string>& row : story.entries) {
    const auto line = by_id.find(row[3]);
    page.Row({row[0], row[4].empty() ? row[1] : absl::StrCat(row[1], " [", row[4], "]"), row[2],
              row[3], line == by_id.end() ? "NOT PROVEN" : ProofWord(*line->second)});
  }
  page.EndTable();
}

void TellProofs(const Verdict& verdict, const std::vector<std::string>& not_in_it,
                HtmlWriter& page) {
  page.Heading("What is proven, and how to check it");
  page.Paragraph(
      "Each entry was written once, by one device, and cannot be changed unnoticed. This file "
      "holds "
      "the entries byte by byte; for each of them the proof that it stands in the journal of which "
      "the server signed the root; and the signature of the device that wrote it. Anybody can "
      "check "
      "it, without the cellar and without the network: save this page and run");
  page.Code(absl::StrCat("rundlet audit THIS-PAGE.html --key ", verdict.server_key));
  page.Paragraph(
      "The key is the server's. Compare it with what the cellar's keeper publishes. The words of "
      "this page are made from the entries by whoever made it; what the audit prints it reads from "
      "the signed entries itself. How to check by hand stands in docs/dossier.md of rundlet.");
  page.Code(absl::StrCat("journal of ", verdict.journal_size, " entries, root ", verdict.root));
  page.Paragraph(
      "Not proven: that nothing was left out. Only the whole journal shows that nothing else "
      "happened to the wine.");
  if (!verdict.unproven.empty() || !not_in_it.empty()) {
    page.Paragraph("Nor is this proven:");
    std::vector<std::string> items = not_in_it;
    items.insert(items.end(), verdict.unproven.begin(), verdict.unproven.end());
    page.List(items);
  }
  if (!verdict.problems.empty()) {
    page.Paragraph("WRONG:");
    page.List(verdict.problems);
  }
}

void TellJournal(const Verdict& verdict, HtmlWriter& page) {
  page.Heading("All entries that are proven here, in the order of the journal");
  page.BeginTable({"Place", "When", "Who", "What", "Proof"});
  for (const Line& line : verdict.lines) {
    page.Row({absl::StrCat(line.seq), FormatWhen(line.when), line.author,
              line.standing.empty() ? line.says : absl::StrCat(line.says, " [", line.standing, "]"),
              ProofWord(line)});
  }
  page.EndTable();
}

}  // namespace

absl::StatusOr<Story> TellStory(
    const Fold& fold, Handle lot, int64_t now_us,
    absl::FunctionRef<absl::StatusOr<v1::Entry>(const Uuid&)> entry_of) {
  Story story;
  StorySink sink(story);
  if (absl::Status status = reports::TellDossier(fold, lot, now_us, entry_of, sink); !status.ok())
    return status;
  TellShares(fold, lot, story);
  return story;
}

absl::StatusOr<std::string> MakePage(const v1::Dossier& dossier, const Verdict& verdict,
                                     const Story& story, const std::vector<std::string>& not_in_it,
                                     int32_t utc_offset_min) {
  const auto json = ToJson(dossier);
  if (!json.ok()) return json.status();
  HtmlWriter page(dossier.title());
  page.Paragraph(
      absl::StrCat(dossier.cellar_name(), ", as of ",
                   FormatWhen({.at_us = dossier.made_at_us(), .utc_offset_min = utc_offset_min})));
  page.List(story.about);
  page.Heading("Where it came from");
  Table({"What", "Amount"}, story.origins, page);
  page.Heading("What was done and seen");
  TellEntries(verdict, story, page);
  page.Heading("Where it is, and where it went");
  Table({"What", "Amount"}, story.places, page);
  if (!story.shares.empty()) {
    page.Heading("Whose bottles they are");
    Table({"Member", "Bottle", "Entitled to", "Taken"}, story.shares, page);
  }
  page.Heading("What the rules say of it");
  page.List(story.findings);
  TellProofs(verdict, not_in_it, page);
  TellJournal(verdict, page);
  page.Data("The data", kDataBegin, *json, kDataEnd);
  return std::move(page).Finish();
}

}  // namespace rundlet::dossier

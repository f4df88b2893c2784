#include "client/commands/report_printer.h"

#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "client/base/safe_output.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "core/quantity/format.h"
#include "core/reports/cell_text.h"
#include "core/reports/csv.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

using reports::Cell;
using reports::Column;

constexpr size_t kRowsInOneTable = 1000;

// "18.927059": litres, with as many decimals as there are.
std::string Litres(int64_t volume_ul) {
  constexpr int64_t kLitre = 1'000'000;
  std::string text = absl::StrCat(volume_ul < 0 ? "-" : "", std::abs(volume_ul / kLitre));
  const int64_t rest = std::abs(volume_ul % kLitre);
  if (rest == 0) return text;
  absl::StrAppendFormat(&text, ".%06d", rest);
  text.erase(text.find_last_not_of('0') + 1);
  return text;
}

// For people.
std::string Shown(const Cell& cell) {
  const std::string text = reports::CellText(cell);
  return cell.kind == Cell::Kind::kText ? Harmless(text, true) : text;
}

// To the last base unit.
std::string Exact(const Cell& cell) {
  switch (cell.kind) {
    case Cell::Kind::kVolume:
      return Litres(cell.base);
    case Cell::Kind::kAmount: {
      v1::Amount amount;
      amount.set_dimension(cell.dimension);
      amount.set_base(cell.base);
      return FormatAmountExact(FromWire(amount));
    }
    case Cell::Kind::kPpm:
      return reports::PercentText(cell.base, 4);
    case Cell::Kind::kMoment:
      return FormatWhenIso(cell.when);
    case Cell::Kind::kText:
      return cell.text;
    default:
      return Shown(cell);
  }
}

class TablePrinter : public ReportPrinter {
 public:
  TablePrinter(std::ostream& out, size_t width) : out_(out), width_(width) {}

  void Head(absl::string_view sentence) override {
    out_ << Harmless(sentence, true) << "\n";
    headed_ = true;
  }
  void Begin(absl::string_view, absl::Span<const Column> columns) override {
    if (headed_) out_ << "\n";
    columns_.assign(columns.begin(), columns.end());
    for (const Column& column : columns) {
      if (!column.under) headings_.push_back(absl::StrCat(column.right ? ">" : "", column.heading));
    }
    table_.emplace(headings_);
  }
  void Row(absl::Span<const Cell> cells) override {
    std::vector<std::string> row;
    std::vector<std::string> under;
    for (size_t i = 0; i < cells.size(); ++i) {
      std::string text = Shown(cells[i]);
      if (!columns_[i].under) {
        row.push_back(std::move(text));
      } else if (!text.empty()) {
        under.push_back(std::move(text));
      }
    }
    table_->Add(std::move(row));
    for (std::string& text : under) table_->AddUnder(std::move(text));
    if (++rows_ % kRowsInOneTable == 0) Flush();
  }
  void Note(absl::string_view sentence) override { notes_.emplace_back(sentence); }
  void Finish() override {
    Flush();
    if (rows_ == 0) out_ << "nothing\n";
    for (const std::string& note : notes_)
      out_ << (&note == &notes_.front() ? "\n" : "") << Harmless(note, true) << "\n";
  }

 private:
  void Flush() {
    if (table_.has_value() && !table_->empty()) out_ << table_->Print(width_);
    table_.emplace(headings_);
  }

  std::ostream& out_;
  const size_t width_;
  std::vector<Column> columns_;
  std::vector<std::string> headings_;
  std::optional<Table> table_;
  size_t rows_ = 0;
  bool headed_ = false;
  std::vector<std::string> notes_;
};

class CsvPrinter : public ReportPrinter {
 public:
  CsvPrinter(std::ostream& out, std::ostream& notes) : out_(out), notes_(notes) {}

  void Head(absl::string_view sentence) override { Note(sentence); }
  void Begin(absl::string_view, absl::Span<const Column> columns) override {
    std::vector<std::string> fields;
    for (const Column& column : columns) fields.push_back(column.heading);
    out_ << reports::CsvLine(fields);
  }
  void Row(absl::Span<const Cell> cells) override {
    std::vector<std::string> fields;
    for (const Cell& cell : cells) fields.push_back(Exact(cell));
    out_ << reports::CsvLine(fields);
  }
  void Note(absl::string_view sentence) override { notes_ << "note: " << sentence << "\n"; }
  void Finish() override {}

 private:
  std::ostream& out_;
  std::ostream& notes_;
};

class JsonPrinter : public ReportPrinter {
 public:
  explicit JsonPrinter(std::ostream& out) : out_(out) {}

  void Head(absl::string_view sentence) override { head_.emplace_back(sentence); }
  void Begin(absl::string_view name, absl::Span<const Column> columns) override {
    columns_.assign(columns.begin(), columns.end());
    out_ << "{\"report\":" << JsonText(name);
    if (!head_.empty()) out_ << ",\"head\":" << JsonTexts(head_);
    out_ << ",\"rows\":[";
  }
  void Row(absl::Span<const Cell> cells) override {
    JsonObject row;
    for (size_t i = 0; i < cells.size(); ++i) {
      const Cell& cell = cells[i];
      if (cell.kind == Cell::Kind::kEmpty) continue;
      const bool number = cell.kind == Cell::Kind::kVolume || cell.kind == Cell::Kind::kCount ||
                          cell.kind == Cell::Kind::kPpm;
      if (number) {
        row.Raw(columns_[i].key, Exact(cell));
      } else {
        row.Text(columns_[i].key, Exact(cell));
      }
    }
    out_ << (any_ ? ",\n" : "\n") << row.Finish();
    any_ = true;
  }
  void Note(absl::string_view sentence) override { notes_.emplace_back(sentence); }
  void Finish() override { out_ << "\n],\"notes\":" << JsonTexts(notes_) << "}\n"; }

 private:
  std::ostream& out_;
  std::vector<Column> columns_;
  std::vector<std::string> head_, notes_;
  bool any_ = false;
};

}  // namespace

std::unique_ptr<ReportPrinter> MakeReportPrinter(ReportFormat format, std::ostream& out,
                                                 std::ostream& notes, size_t columns) {
  switch (format) {
    case ReportFormat::kCsv:
      return std::make_unique<CsvPrinter>(out, notes);
    case ReportFormat::kJson:
      return std::make_unique<JsonPrinter>(out);
    case ReportFormat::kTable:
      break;
  }
  return std::make_unique<TablePrinter>(out, columns);
}

}  // namespace rundlet::client

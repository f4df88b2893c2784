// rundlet count sheet, count enter: a sheet to count by, and what was written on it.
#include <iostream>
#include <iterator>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/commands/bottle_words.h"
#include "client/commands/commands.h"
#include "client/commands/differences_words.h"
#include "core/counts/sheet.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

// count sheet "Rack A" "Rack B" > sheet.txt
class CountSheet : public ViewCommand {
 protected:
  bool ForPeople() const override { return false; }
  void DeclareWords(CLI::App& app) override {
    app.add_option("bins", bins_, "the bins to count; all that hold bottles if left out")
        ->type_name("BIN");
  }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Fold& fold = *cellar.fold;
    std::vector<Handle> bins;
    for (const std::string& name : bins_) {
      const auto bin = FindByName(fold, v1::Thing::kBin, name);
      if (!bin.ok()) return bin.status();
      for (const Handle each : ThingsByName(fold, v1::Thing::kBin, true)) {
        if (each == *bin || (IsInside(fold, each, *bin) && BottlesIn(fold, each) > 0))
          bins.push_back(each);
      }
    }
    if (bins_.empty()) {
      for (const Handle bin : ThingsByName(fold, v1::Thing::kBin, true)) {
        if (BottlesIn(fold, bin) > 0) bins.push_back(bin);
      }
    }
    session.out() << counts::BlankSheet(fold, bins);
    return absl::OkStatus();
  }

 private:
  static int64_t BottlesIn(const Fold& fold, Handle bin) {
    int64_t bottles = 0;
    for (const Balance& balance : fold.state().balances()) {
      if (balance.place == Place::Bin(bin)) bottles += balance.amount;
    }
    return bottles;
  }

  std::vector<std::string> bins_;
};

// count enter sheet.txt
class CountEnter : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_, "the sheet, filled in; - reads it from standard input")
        ->type_name("FILE")
        ->required();
    app.add_flag("--adopt", adopt_, "the book follows all counts of the sheet");
    DeclareChangeOptions(app, options_);
  }

  absl::Status Run(Session& session) override {
    const auto text = file_ == "-" ? ReadAll(std::cin) : ReadFile(file_);
    if (!text.ok()) return text.status();
    auto sheet = counts::ReadSheet(*text);
    if (!sheet.ok())
      return Usage(absl::StrCat(file_, ": ", sheet.status().message(), "; nothing was saved"));
    if (options_.at.empty() && sheet->at != "now") options_.at = sheet->at;
    const absl::Status status =
        RunChange(session, options_, nullptr,
                  [&](Planner& planner, Change& change) { return Make(planner, *sheet, change); });
    if (!status.ok() || options_.json || options_.dry_run) return status;
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    session.out() << "\n" << TextOfDifferences(*cellar->fold, session.columns());
    return absl::OkStatus();
  }

 private:
  static absl::StatusOr<std::string> ReadAll(std::istream& in) {
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  }

  absl::Status Make(Planner& planner, const counts::Sheet& sheet, Change& change) const {
    for (const counts::SheetBin& bin : sheet.bins) {
      v1::BinCounted& counted = *change.Add().mutable_bin_counted();
      const auto id = planner.Named(v1::Thing::kBin, bin.bin);
      if (!id.ok()) return AtLine(bin.number, id.status());
      counted.set_bin_id(id->ToBytes());
      counted.set_adopted(adopt_);
      for (const counts::SheetLine& line : bin.lines) {
        const auto found = FindBottlesFor(planner, line.run, bin.bin);
        if (!found.ok()) return AtLine(line.number, found.status());
        *counted.add_bottles() = ToBottles(*found, line.bottles);
      }
    }
    return absl::OkStatus();
  }

  absl::Status AtLine(int number, const absl::Status& status) const {
    return absl::Status(status.code(),
                        absl::StrCat(file_, ": line ", number, ": ", status.message()));
  }

  std::string file_;
  bool adopt_ = false;
  ChangeOptions options_;
};

}  // namespace

std::unique_ptr<Command> MakeCountSheet() { return std::make_unique<CountSheet>(); }
std::unique_ptr<Command> MakeCountEnter() { return std::make_unique<CountEnter>(); }

}  // namespace rundlet::client

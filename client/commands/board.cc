// rundlet board: what is where.
#include "core/view/board.h"

#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/quantity/format.h"
#include "core/quantity/reading.h"
#include "core/view/log_line.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

std::string LatestOf(const v1::VesselLine& vessel, v1::ReadingKind kind) {
  for (const v1::ReadingLine& reading : vessel.readings()) {
    if (reading.kind() == kind)
      return FormatReading(reading.value_micro(), FromWire(reading.unit()));
  }
  return "";
}

std::string LatestDay(const v1::VesselLine& vessel) {
  const v1::ReadingLine* latest = nullptr;
  for (const v1::ReadingLine& reading : vessel.readings()) {
    if (latest == nullptr || reading.at_us() > latest->at_us()) latest = &reading;
  }
  if (latest == nullptr) return "";
  return FormatWhenDay({.at_us = latest->at_us(), .utc_offset_min = latest->utc_offset_min()});
}

std::string VesselsOf(const v1::Board& board, size_t width) {
  Table table(
      {"Vessel", ">Holds", ">Capacity", "Lot", ">Density", ">Temperature", "Read on", "Place"});
  for (const v1::VesselLine& vessel : board.vessels()) {
    table.Add({absl::StrCat(vessel.name(), vessel.retired() ? " (retired)" : ""),
               vessel.volume_ul() > 0 ? FormatVolume(vessel.volume_ul()) : "empty",
               vessel.capacity_ul() > 0 ? FormatVolume(vessel.capacity_ul()) : "",
               vessel.volume_ul() > 0 ? vessel.lot_name() : "",
               LatestOf(vessel, v1::READING_KIND_DENSITY),
               LatestOf(vessel, v1::READING_KIND_TEMPERATURE), LatestDay(vessel),
               vessel.location()});
  }
  return table.empty() ? "" : table.Print(width);
}

std::string BinsOf(const v1::Board& board, size_t width) {
  Table table({"Bin", ">Bottles", ">Size", "Bottling", "Lot code"});
  for (const v1::BinLine& bin : board.bins()) {
    for (const v1::BottleLine& bottles : bin.bottles()) {
      table.Add({bin.name(), absl::StrCat(bottles.count()), FormatVolume(bottles.size_ul()),
                 bottles.bottling_name(), bottles.lot_code()});
    }
  }
  return table.empty() ? "" : absl::StrCat("\n", table.Print(width));
}

std::string StockOf(const v1::Board& board, size_t width) {
  Table table({"Packet", ">In stock", "Material", "Code", "Expires"});
  for (const v1::StockLine& packet : board.stock()) {
    table.Add({packet.name(), FormatAmountOf(packet.amount().dimension(), packet.amount().base()),
               packet.material_name(), packet.supplier_lot(), packet.expires_on()});
  }
  return table.empty() ? "\nno stock\n" : absl::StrCat("\n", table.Print(width));
}

// Who looks back to before the first vessel needs no advice to register one.
std::string WhyEmpty(Cellar& cellar) {
  const auto counts = cellar.store.Count();
  const bool more_by_now = counts.ok() && counts->outbox + counts->recorded >
                                              static_cast<int64_t>(cellar.fold->sequence().rows());
  return more_by_now ? "there was no vessel in the book then; what there is now: rundlet board\n"
                     : "no vessel yet: rundlet vessel new C1 --capacity 20L\n";
}

class BoardCommand : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_flag("--stock", stock_, "also what is in stock");
    app.add_flag("--retired", retired_, "also vessels no longer in use");
  }

  absl::Status Show(Cellar& cellar, Session& session) override {
    v1::Board board = MakeBoard(*cellar.fold, {.with_digest = json(), .with_retired = retired_});
    if (board.cellar_name().empty()) board.set_cellar_name(cellar.store.device().cellar_name);
    if (json()) {
      session.out() << ProtoJson(board) << "\n";
      return absl::OkStatus();
    }
    if (board.vessels().empty()) session.err() << WhyEmpty(cellar);
    session.out() << VesselsOf(board, session.columns()) << BinsOf(board, session.columns());
    if (stock_) session.out() << StockOf(board, session.columns());
    if (board.held() > 0) {
      session.out() << "\n"
                    << board.held() << (board.held() == 1 ? " entry is" : " entries are")
                    << " held, without effect: rundlet held\n";
    }
    return absl::OkStatus();
  }

 private:
  bool stock_ = false;
  bool retired_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeBoard() { return std::make_unique<BoardCommand>(); }

}  // namespace rundlet::client
